// The room as this page knows it: what the worker told, and what it can be asked.
import { useEffect, useState } from "preact/hooks";
import type { Fault, FromWorker, Joined, Joining, RoomNow, ToWorker, Truth } from "../../bridge/messages";
import type { Entry, Fact, Ref, View } from "../../bridge/protocol.gen";

declare const __WORKER_URL__: string;

/** All that screens draw from. Sections are there once the engine has told them. */
export interface Shown {
  ready: boolean;
  joined: Joined | null;
  view: View | null;
  truth: Truth | null;
  trouble: Fault | null;
  elsewhere: boolean;
  inMemory: boolean;
  room: RoomNow | null | undefined; // a wall: undefined until the server was asked
}

type Answer = { ref: Ref; fault: Fault | null };

const lossy = "rootledger.lossy";

/** Notes that counts are in memory only: should this page end so, the next start goes on under a new id. */
function remember(inMemory: boolean): void {
  try {
    if (inMemory) localStorage.setItem(lossy, "yes");
    else localStorage.removeItem(lossy);
  } catch {
    // no storage at all: nothing of this start is there at the next one
  }
}

/** Whether the last page ended with counts in memory only. */
export function endedLossy(): boolean {
  try {
    return localStorage.getItem(lossy) === "yes";
  } catch {
    return false;
  }
}

/** The one worker of this page. */
export class Room {
  shown: Shown = { ready: false, joined: null, view: null, truth: null, trouble: null, elsewhere: false, inMemory: false, room: undefined };
  private readonly worker = new Worker(__WORKER_URL__);
  private readonly watchers = new Set<() => void>();
  private readonly asked = new Map<number, (a: Answer) => void>();
  private readonly lists = new Map<number, (e: Entry[]) => void>();
  private next = 1;

  constructor(first: ToWorker) {
    this.worker.onmessage = (message: MessageEvent<FromWorker>) => this.take(message.data);
    this.send(first);
  }

  private send(m: ToWorker): void {
    this.worker.postMessage(m);
  }

  private take(m: FromWorker): void {
    const s = this.shown;
    switch (m.tell) {
      case "ready":
        this.set({ ready: true, joined: m.joined, elsewhere: false, view: m.joined ? s.view : null });
        break;
      case "show":
        this.set({ view: { ...s.view, ...m.sections } as View });
        break;
      case "truth":
        this.set({ truth: m.truth });
        break;
      case "trouble":
        this.set({ trouble: m.fault });
        break;
      case "elsewhere":
        this.set({ ready: true, elsewhere: true });
        break;
      case "storage":
        remember(m.state === "memory");
        this.set({ inMemory: m.state === "memory" });
        break;
      case "room":
        this.set({ room: m.room });
        break;
      case "answer":
        this.asked.get(m.id)?.({ ref: m.ref, fault: m.fault });
        this.asked.delete(m.id);
        break;
      case "entries":
        this.lists.get(m.id)?.(m.entries);
        this.lists.delete(m.id);
        break;
      default:
        m satisfies never;
    }
  }

  private set(part: Partial<Shown>): void {
    this.shown = { ...this.shown, ...part };
    for (const w of this.watchers) w();
  }

  watch(w: () => void): () => void {
    this.watchers.add(w);
    return () => this.watchers.delete(w);
  }

  private ask(m: (id: number) => ToWorker): Promise<Answer> {
    const id = this.next++;
    return new Promise((resolve) => {
      this.asked.set(id, resolve);
      this.send(m(id));
    });
  }

  /** Says that something happened; answered when it is kept, or with why not. */
  tap(fact: Fact, late = false): Promise<Answer> {
    return this.ask((id) => ({ do: "tap", id, fact, late }));
  }

  join(joining: Joining): Promise<Answer> {
    return this.ask((id) => ({ do: "join", id, joining }));
  }

  entries(most: number): Promise<Entry[]> {
    const id = this.next++;
    return new Promise((resolve) => {
      this.lists.set(id, resolve);
      this.send({ do: "entries", id, most });
    });
  }

  leave(): void {
    this.send({ do: "leave" });
  }

  steal(): void {
    this.send({ do: "steal" });
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

/** The time, once a second. */
export function useNow(everyMs = 1000): number {
  const [now, set] = useState(Date.now());
  useEffect(() => {
    const timer = setInterval(() => set(Date.now()), everyMs);
    return () => clearInterval(timer);
  }, [everyMs]);
  return now;
}
