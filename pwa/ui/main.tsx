// Which face this page shows is said by its address: /wall/ROOM, /office,
// /figures, or a phone's station.
import { type ComponentChild, render } from "preact";
import { say } from "./parts/say";

const app = document.getElementById("app") as HTMLElement;

/** What draws the face of this page, once its script is there. */
async function face(): Promise<() => ComponentChild> {
  const [, first = "", second = ""] = location.pathname.split("/");
  if (first === "wall") {
    const { WallApp } = await import("./wall/wall-app");
    return () => <WallApp room={decodeURIComponent(second || "1")} />;
  }
  if (first === "office") {
    const { OfficeApp } = await import("./office/office-app");
    return () => <OfficeApp />;
  }
  if (first === "figures") {
    const { FiguresPage } = await import("./figures/figures-page");
    return () => <FiguresPage />;
  }
  const { PhoneApp } = await import("./phone/phone-app");
  return () => <PhoneApp />;
}

/** Speaks the language of this page; with English alone there is nothing to do. */
async function speak(): Promise<void> {
  if (document.querySelector("link[hreflang]")) await (await import("./parts/language")).speak();
}

Promise.all([face(), speak()])
  .then(([draw]) => {
    render(draw(), app);
    addEventListener("languagechange", () => void speak().then(() => render(draw(), app)));
    import("./parts/fault-words").catch(() => undefined); // a fault then says that something went wrong
  })
  .catch(() => {
    app.textContent = say("page.unloaded");
  });

addEventListener("keydown", (e) => {
  if (e.key !== "?" || e.defaultPrevented || (e.target as Element).matches?.("input, textarea")) return;
  import("./parts/help").then(({ openHelp }) => openHelp()).catch(() => undefined);
});

if ("serviceWorker" in navigator) {
  navigator.serviceWorker // without it the page needs the network to open
    .register("/sw.js")
    .then(() => import("./parts/version"))
    .then(({ watchVersion }) => watchVersion())
    .catch(() => undefined);
}
