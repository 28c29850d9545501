// The tabs of one phone. Where the browser has locks, one tab counts at a time;
// where it has none, as over plain http, each counts under an id of its own.

type Alone = "alone" | "beside" | "elsewhere";

/** Says whether another tab of this face counts, and from now on tells others of this one. lost is called when another takes over. */
export async function alone(face: string, steal: boolean, lost: () => void): Promise<Alone> {
  const name = `rootledger-${face}`;
  if (!navigator.locks) return (await another(name)) ? "beside" : "alone";
  let mine = false;
  return new Promise((resolve) => {
    navigator.locks
      .request(name, steal ? { steal: true } : { signal: AbortSignal.timeout(releaseMs) }, () => {
        mine = true;
        resolve("alone");
        return new Promise<void>(() => undefined);
      })
      .catch(() => (mine ? lost() : resolve("elsewhere")));
  });
}

/** How long a page that was opened again waits for its former worker to let go. */
const releaseMs = 1000;

/** How long another tab has to answer. One that answers later is found out by the room, as a copy. */
const answerMs = 300;

function another(name: string): Promise<boolean> {
  const channel = new BroadcastChannel(name);
  return new Promise((resolve) => {
    channel.onmessage = ({ data }: MessageEvent<"anyone" | "here">) => {
      if (data === "anyone") channel.postMessage("here");
      else resolve(true);
    };
    channel.postMessage("anyone");
    setTimeout(() => resolve(false), answerMs);
  });
}

/** Holds a lock of its own for as long as this worker lives, and says its name. What fails unseen would leave a worker that does nothing: the page hears of it and starts another. */
export function live(name: string, held: (name: string) => void): void {
  addEventListener("unhandledrejection", (event) => {
    event.preventDefault();
    setTimeout(() => {
      throw event.reason;
    });
  });
  void navigator.locks?.request(name, () => {
    held(name);
    return new Promise<void>(() => undefined);
  });
}
