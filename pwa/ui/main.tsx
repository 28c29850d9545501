// Which face this page shows is said by its address: /wall/ROOM, /office,
// /figures, or a phone's station.
import { render } from "preact";
import { say } from "./parts/say";

const app = document.getElementById("app") as HTMLElement;

async function face(): Promise<void> {
  const [, first = "", second = ""] = location.pathname.split("/");
  if (first === "wall") {
    const { WallApp } = await import("./wall/wall-app");
    render(<WallApp room={decodeURIComponent(second || "1")} />, app);
  } else if (first === "office") {
    const { OfficeApp } = await import("./office/office-app");
    render(<OfficeApp />, app);
  } else if (first === "figures") {
    const { FiguresPage } = await import("./figures/figures-page");
    render(<FiguresPage />, app);
  } else {
    const { PhoneApp } = await import("./phone/phone-app");
    render(<PhoneApp />, app);
  }
}

face().catch(() => {
  app.textContent = say("page.unloaded");
});

if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/sw.js").catch(() => undefined); // without it the page needs the network to open
}
