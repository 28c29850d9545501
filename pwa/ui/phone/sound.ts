// The sounds of pads, made here: a short dry knock on wood, lower for what is
// counted less, a little longer for the fifth of five; two soft low notes for
// what asks. Nothing beeps, and what is held back is silent.

const knockHz = 1000;
const stepDown = 2 ** (-1 / 4); // a minor third lower for each pad further from the first
const knockS = 0.03;
const fifthS = 0.06;
const askNotes = [220, 165] as const; // Hz
const askS = 0.28; // each

let ctx: AudioContext | null = null;
const made = new Map<string, AudioBuffer>();

/** Has the phone sound again: a call, a locked screen or another app may have taken that away. */
function wakeUp(): void {
  if (ctx && ctx.state !== "running" && document.visibilityState === "visible") ctx.resume().catch(() => undefined); // the next touch tries again
}

function context(): AudioContext | null {
  if (!ctx && typeof AudioContext === "function") {
    ctx = new AudioContext({ latencyHint: "interactive" });
    ctx.addEventListener("statechange", wakeUp); // "suspended", or on some phones "interrupted"
    for (const touch of ["pointerdown", "pointerup", "touchend", "keydown", "click"])
      addEventListener(touch, wakeUp, { capture: true, passive: true });
    document.addEventListener("visibilitychange", wakeUp);
  }
  return ctx;
}

/** Writes a sound into a buffer, once: its value, -1 to 1, at each second. */
function buffer(of: AudioContext, name: string, seconds: number, at: (s: number) => number): AudioBuffer {
  const known = made.get(name);
  if (known) return known;
  const fresh = of.createBuffer(1, Math.ceil(seconds * of.sampleRate), of.sampleRate);
  const samples = fresh.getChannelData(0);
  for (let i = 0; i < samples.length; i++) samples[i] = at(i / of.sampleRate);
  made.set(name, fresh);
  return fresh;
}

/** A bar of wood that is struck: its note, and a partial that dies at once. */
function knock(hz: number, seconds: number): (s: number) => number {
  return (s) => {
    const left = 1 - s / seconds;
    const body = Math.sin(2 * Math.PI * hz * s) * Math.exp((-5 * s) / seconds);
    const wood = Math.sin(2 * Math.PI * 2.76 * hz * s) * Math.exp((-16 * s) / seconds);
    return Math.min(1, s / 0.001) * left * (0.5 * body + 0.22 * wood);
  };
}

/** Two notes that swell and fade, one after the other. */
function twoNotes(s: number): number {
  const hz = askNotes[s < askS ? 0 : 1];
  const part = (s % askS) / askS;
  return 0.3 * Math.sin(Math.PI * part) ** 2 * Math.sin(2 * Math.PI * hz * s);
}

function play(name: string, seconds: number, at: (s: number) => number): void {
  const on = context();
  if (!on) return;
  wakeUp();
  if (on.state !== "running") return; // what would come late is not an answer
  const source = on.createBufferSource();
  source.buffer = buffer(on, name, seconds, at);
  source.connect(on.destination);
  source.start();
}

/** The knock of a pad: tone 0 for what is counted most, then lower. */
export function soundPad(tone: number, fifth: boolean): void {
  const seconds = fifth ? fifthS : knockS;
  play(`${tone} ${seconds}`, seconds, knock(knockHz * stepDown ** tone, seconds));
}

/** Something asks for whoever holds the phone; once. */
export function soundAsk(): void {
  play("ask", askNotes.length * askS, twoNotes);
}
