// The room as this page knows it: what the worker told, and what it can be asked.
import { useEffect, useState } from "preact/hooks";
import type { Chart, Fault, FromWorker, Joining, Shape, Sight, Then, ToWorker, Wanted, Where } from "../../bridge/messages";
import type { Comparison, Continued, Fact, Ref, View } from "../../bridge/protocol.gen";
import { Drawing } from "./drawing";
import { remember } from "./lossy";
import { type Face, freshMark, readMark, writeMark } from "./mark";
import { nothing, type Shown } from "./shown";

declare const __WORKER_URL__: string;

export type { Shown } from "./shown";

type Answer = { ref: Ref; fault: Fault | null };
type Asked = { counts: boolean; tell: (a: Answer) => void };
type Told = Exclude<Extract<FromWorker, { id: number }>["tell"], "answer">;

/** What this page is to the worker. */
export type Role = { do: "start"; face: Face; mint: boolean } | { do: "watch"; room: string };

const stopped = { ref: "", fault: { code: "stopped", args: {} } };

/** How often a page asks whether its worker still answers, and how often in vain: one that ended lets go of its lock, one that hangs does not. */
const stillMs = 1000;
const stillTries = 8;

/** How often storage is looked at, and how little may be left: a day of counts takes a few megabytes. */
const measureMs = 5 * 60_000;
const littleBytes = 20 << 20;

/** The worker of this page: one at a time. */
export class Room {
  shown: Shown = nothing;
  protected worker: Worker | null = null;
  private outbox: ToWorker[] = []; // while there is no worker
  private readonly watchers = new Set<() => void>();
  private readonly watchersNow = new Set<() => void>();
  readonly drawing = new Drawing(() => {
    for (const w of this.watchers) w();
  });
  private readonly asked = new Map<number, Asked>();
  private readonly wanted = new Map<number, (m: FromWorker) => void>();
  private left: Asked[] = []; // taps of a worker that ended: they may be kept
  private next = 1;
  private kept = 0; // own events that a worker said are kept
  private mark = "";
  private silent = 0;
  private waitMs = 0; // before a worker takes the place of one that ended
  private readonly over = new AbortController();

  constructor(private readonly role: Role) {
    this.hire(false);
    const { signal } = this.over;
    const timers = [setInterval(() => this.listen(), stillMs), setInterval(() => void this.measure(), measureMs)];
    signal.addEventListener("abort", () => timers.forEach(clearInterval));
    void this.measure();
    const seen = (): void => {
      if (document.visibilityState === "visible") this.send({ do: "hurry" });
    };
    addEventListener("pageshow", seen, { signal });
    document.addEventListener("visibilitychange", seen, { signal });
  }

  private async measure(): Promise<void> {
    const { quota = 0, usage = 0 } = (await navigator.storage?.estimate?.().catch(() => undefined)) ?? {};
    const nearlyFull = quota > 0 && quota - usage < littleBytes;
    if (nearlyFull !== this.shown.nearlyFull) this.set({ nearlyFull });
  }

  /** Starts a worker; one that takes the place of another takes its lock too. */
  private hire(instead: boolean): void {
    if (this.over.signal.aborted) return;
    const worker = new Worker(__WORKER_URL__);
    this.worker = worker;
    this.silent = 0;
    worker.onmessage = (message: MessageEvent<FromWorker[]>) => {
      for (const m of message.data) if (this.worker === worker) this.take(m, worker);
      for (const w of this.watchersNow) w();
      this.drawing.turn();
    };
    worker.onerror = () => this.ended(worker);
    const counted = instead && this.shown.ready && !this.shown.elsewhere; // a page that never did takes nothing from one that does
    if (this.role.do === "watch") this.send(this.role);
    else this.begin(this.role, instead ? this.shown.inMemory : this.role.mint, counted);
    const waiting = this.outbox;
    this.outbox = [];
    for (const m of waiting) this.send(m);
  }

  private begin({ face }: Role & { do: "start" }, mint: boolean, steal: boolean): void {
    this.mark = freshMark();
    this.send({ do: "start", face, mint, steal, mark: readMark(face), nextMark: this.mark });
  }

  /** A worker has ended, or hangs: another one goes on from what is kept. */
  private ended(worker: Worker): void {
    if (this.worker !== worker) return;
    worker.terminate();
    this.worker = null;
    for (const one of this.asked.values()) {
      if (one.counts) this.left.push(one);
      else one.tell(stopped);
    }
    this.asked.clear();
    this.wanted.clear();
    if (this.shown.inMemory) this.set({ trouble: { code: "stopped-memory", args: {} } });
    setTimeout(() => this.hire(true), this.waitMs);
    this.waitMs = Math.min(15_000, 2 * this.waitMs + 500);
  }

  /** Of the taps that a worker left without an answer, the first are those that it kept. */
  private settle(kept: number): void {
    let more = kept - this.kept;
    this.kept = kept;
    for (const one of this.left) one.tell(more-- > 0 ? { ref: "", fault: null } : stopped);
    this.left = [];
  }

  private listen(): void {
    if (!this.worker || !this.shown.ready || document.visibilityState !== "visible") this.silent = 0;
    else if (++this.silent > stillTries) this.ended(this.worker);
    else this.send({ do: "still" });
  }

  protected send(m: ToWorker): void {
    if (this.worker) this.worker.postMessage(m);
    else this.outbox.push(m);
  }

  private take(m: FromWorker, worker: Worker): void {
    const s = this.shown;
    switch (m.tell) {
      case "alive":
        void navigator.locks?.request(m.lock, () => this.ended(worker));
        break;
      case "ready":
        this.settle(m.kept);
        this.set({ ready: true, joined: m.joined, elsewhere: false, view: m.joined?.session === s.joined?.session ? s.view : null });
        if (s.joined) this.drawing.anew(); // at a start nothing of another is on the screen
        break;
      case "marked":
        if (this.role.do === "start") writeMark(this.role.face, this.mark);
        break;
      case "show":
        this.set({ view: { ...s.view, ...m.sections } as View, steps: m.steps.length > 0 ? m.steps : s.steps });
        break;
      case "truth":
        this.set({ truth: m.truth });
        break;
      case "trouble":
        this.set({ trouble: m.fault });
        break;
      case "unknown":
        this.set({ unknown: m.unknown });
        break;
      case "elsewhere":
        this.set({ ready: true, elsewhere: true });
        break;
      case "storage":
        if (this.role.do !== "start" || this.role.face !== "practice") remember(m.state === "memory"); // what is practised says nothing of real counts
        this.set({ inMemory: m.state === "memory" });
        break;
      case "room":
        this.set({ room: m.room });
        break;
      case "still":
        this.silent = 0;
        this.waitMs = 0;
        break;
      case "answer":
        if (m.ref !== "") this.kept++;
        if (this.asked.get(m.id)?.counts) this.drawing.answered();
        this.asked.get(m.id)?.tell({ ref: m.ref, fault: m.fault });
        this.asked.delete(m.id);
        this.wanted.delete(m.id);
        break;
      case "entries":
      case "behind":
      case "area":
      case "wanted":
      case "setup":
      case "compare":
      case "chances":
      case "chart":
      case "weighed":
      case "continued":
      case "file":
      case "day":
      case "carried":
        this.wanted.get(m.id)?.(m);
        this.wanted.delete(m.id);
        this.asked.delete(m.id);
        break;
      default:
        m satisfies never;
    }
  }

  private set(part: Partial<Shown>): void {
    this.shown = { ...this.shown, ...part };
    this.drawing.changed();
  }

  watch(w: () => void): () => void {
    this.watchers.add(w);
    return () => this.watchers.delete(w);
  }

  /** Hears of every change at once, drawn or not. */
  watchNow(w: () => void): () => void {
    this.watchersNow.add(w);
    return () => this.watchersNow.delete(w);
  }

  protected ask(m: (id: number) => ToWorker, counts: boolean): Promise<Answer> {
    const id = this.next++;
    return new Promise((tell) => {
      this.asked.set(id, { counts, tell });
      this.send(m(id));
    });
  }

  /** Says that something happened; answered when it is kept, or with why not. */
  tap(fact: Fact, late = false): Promise<Answer> {
    return this.ask((id) => ({ do: "tap", id, fact, late }), true);
  }

  join(joining: Joining): Promise<Answer> {
    return this.ask((id) => ({ do: "join", id, joining }), false);
  }

  /** Asks for more than a reference; null when the worker ended meanwhile. */
  private fetch<T extends Told>(tell: T, m: (id: number) => ToWorker): Promise<Extract<FromWorker, { tell: T }> | null> {
    const id = this.next++;
    return new Promise((resolve) => {
      this.asked.set(id, { counts: false, tell: () => resolve(null) });
      this.wanted.set(id, (got) => resolve(got.tell === tell ? (got as Extract<FromWorker, { tell: T }>) : null));
      this.send(m(id));
    });
  }

  /** The newest entries of a replica, own ones for "", with those that are undone, and how far each has come. */
  entries(most: number, of: string): Promise<Extract<FromWorker, { tell: "entries" }> | null> {
    return this.fetch("entries", (id) => ({ do: "entries", id, most, of }));
  }

  /** Where a figure comes from, and the newest entries behind it. */
  behind(where: Where, most: number): Promise<Extract<FromWorker, { tell: "behind" }> | null> {
    return this.fetch("behind", (id) => ({ do: "behind", id, where, most }));
  }

  /** The area of a shape. */
  area(shape: Shape): Promise<Extract<FromWorker, { tell: "area" }> | null> {
    return this.fetch("area", (id) => ({ do: "area", id, shape }));
  }

  /** How many grafts bring a share of the native hairs to an area. */
  hairsWanted(wanted: Wanted): Promise<Extract<FromWorker, { tell: "wanted" }> | null> {
    return this.fetch("wanted", (id) => ({ do: "wanted", id, wanted }));
  }

  /** What follows from a punch set-up that nobody recorded yet. */
  setup(fact: Fact): Promise<Extract<FromWorker, { tell: "setup" }> | null> {
    return this.fetch("setup", (id) => ({ do: "setup", id, fact }));
  }

  /** What the arms of a trial gave, or, of no trial (""), all set-ups; full with the figures of the office. */
  async compare(trial: Ref, full: boolean): Promise<Comparison | null> {
    return (await this.fetch("compare", (id) => ({ do: "compare", id, trial, full })))?.compared ?? null;
  }

  /** What a setting of the watch on cut grafts leads to, recorded or not. */
  chances(fact: Fact): Promise<Extract<FromWorker, { tell: "chances" }> | null> {
    return this.fetch("chances", (id) => ({ do: "chances", id, fact }));
  }

  /** The cut attempts of a pass in groups; null when the worker ended meanwhile. */
  async chart(pass: Ref): Promise<Chart | null> {
    return (await this.fetch("chart", (id) => ({ do: "chart", id, pass })))?.chart ?? null;
  }

  /** What a dose or a weight would do, and why it is asked about; nothing is kept. */
  weigh(fact: Fact): Promise<Extract<FromWorker, { tell: "weighed" }> | null> {
    return this.fetch("weighed", (id) => ({ do: "weigh", id, fact }));
  }

  /** What another day of this case starts from; null when the worker ended meanwhile. */
  async continued(): Promise<Continued | null> {
    return (await this.fetch("continued", (id) => ({ do: "continued", id })))?.rest ?? null;
  }

  /** Says how large the room's wall is, and from how far it is read. */
  sight(sight: Sight): Promise<Answer> {
    return this.ask((id) => ({ do: "sight", id, sight }), false);
  }

  /** The room at a moment of its day; or why its server does not say. */
  async back(atMs: number): Promise<Then | Fault> {
    return (await this.fetch("day", (id) => ({ do: "day", id, atMs })))?.day ?? stopped.fault;
  }

  /** What the room lacks, as a file. */
  async handOut(): Promise<Uint8Array> {
    return (await this.fetch("file", (id) => ({ do: "handOut", id })))?.file ?? new Uint8Array();
  }

  /** Takes such a file of another phone in; answered when it is kept. */
  carryIn(file: Uint8Array): Promise<Extract<FromWorker, { tell: "carried" }> | null> {
    return this.fetch("carried", (id) => ({ do: "carryIn", id, file }));
  }

  leave(): void {
    if (this.role.do === "start") writeMark(this.role.face, ""); // nothing is missed at the next start
    this.send({ do: "leave" });
  }

  /** Ends for good. */
  end(): void {
    this.over.abort();
    this.worker?.terminate();
    this.worker = null;
  }

  /** Counts here instead of in the other tab. */
  steal(): void {
    if (this.role.do === "start") this.begin(this.role, this.role.mint, true);
  }

  /** Shows the page on which a phone joins, or goes back from it. */
  joinAgain(joining: boolean): void {
    this.set({ joining });
  }

  redraw(): void {
    this.set({});
  }

  forgive(): void {
    this.set({ trouble: null });
  }
}

/** Draws again whenever the room changes. */
export function useShown(room: Room): Shown {
  const [shown, set] = useState(room.shown);
  useEffect(() => {
    set(room.shown);
    return room.watch(() => set(room.shown));
  }, [room]);
  return shown;
}
