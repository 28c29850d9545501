// Practice: a made-up session and a made-up room, both inside this worker. No
// address of a server stands here, and nothing that is made here leaves it.
import type { Cast, ToWorker } from "../bridge/messages";
import type { Fact, Ref } from "../bridge/protocol.gen";
import { decode, encodeMap, type Value } from "./cbor";
import * as engine from "./engine";
import type { LinkEvents } from "./link";
import { type Face, forgetAll, keepOthers, type Me } from "./store";

const realOnly: readonly ToWorker["do"][] = ["join", "sight", "day", "handOut", "carryIn"];
const madeUpOnly: readonly ToWorker["do"][] = ["practise", "away"];

/** Nothing leaves practice and nothing comes into it; only there a session is made up. */
export const outOfPlace = (face: Face, { do: what }: ToWorker): boolean => (face === "practice" ? realOnly : madeUpOnly).includes(what);

/** Makes a session up, keeps what its cast said, and tells who this phone is in it. What was practised before is forgotten. */
export async function makeUp({ cast, person, station }: Extract<ToWorker, { do: "practise" }>): Promise<Me> {
  const session = engine.randomHex(16);
  const bodies = stage(session, cast);
  await forgetAll().catch(() => undefined);
  await keepOthers(session, bodies, "relaxed").catch(() => undefined);
  const phone = { phone: engine.randomHex(16), replica: engine.randomHex(8) };
  return { session, ...phone, room: "", person, station, token: "", expiresMs: 0, secret: "" };
}

/** Has the engine be one after the other of the cast, and takes down what they say. */
function stage(session: string, cast: readonly Cast[]): Uint8Array[] {
  const names = new Map<string, Ref>();
  const bodies: Uint8Array[] = [];
  const ends: number[] = [0];
  for (const { person, station, knows, says } of cast) {
    engine.past(says[0]?.agoMin ?? 0);
    engine.boot({ session, replica: engine.randomHex(8), phone: engine.randomHex(16) }, bodies.slice(0, ends[knows ?? ends.length - 1]));
    for (const { fact, name, agoMin } of [{ fact: { kind: "joined", person, station } as Fact, agoMin: says[0]?.agoMin ?? 0 }, ...says]) {
      engine.past(agoMin);
      const d = engine.tap(1, named(fact, names), false);
      for (const { seq, body } of d.keep) {
        bodies.push(body);
        const ref = engine.kept(seq).answers[0]?.ref;
        if (name && ref) names.set(name, ref);
      }
      if (d.keep.length === 0) throw new Error(`practice: ${person} said ${fact.kind}: ${d.answers[0]?.fault?.code}`);
    }
    ends.push(bodies.length);
  }
  engine.past(0);
  return bodies;
}

/** The fact with references in the place of names. */
const named = (fact: Fact, names: ReadonlyMap<string, Ref>): Fact =>
  Object.fromEntries(
    Object.entries(fact).map(([key, v]) => [key, typeof v === "string" && v.startsWith("@") ? (names.get(v.slice(1)) ?? "") : v]),
  ) as Fact;

/** The types of messages that a room reads or writes, as syncengine/message.go numbers them. */
const type = { hello: 1, welcome: 2, events: 3, ack: 4, links: 5, ping: 6, pong: 7 } as const;

const answerMs = 180; // about what a room takes
const linksMs = 5_000;

/** Answers as a room does, so that a phone in practice says what it would; it stores nothing. */
export class MadeUpRoom {
  private away = false;
  private ended = false;
  private vector: readonly Value[] = []; // replica, seq and check of all that the phone knew when it came
  private timer: ReturnType<typeof setInterval>;

  constructor(private readonly events: Pick<LinkEvents, "opened" | "frame" | "closed">) {
    setTimeout(() => this.open());
    this.timer = setInterval(() => this.tellLinks(), linksMs);
  }

  private open(): void {
    if (!this.away && !this.ended) this.events.opened();
  }

  private tell(...map: [number, Value][]): void {
    if (!this.away && !this.ended) this.events.frame(encodeMap(new Map(map)));
  }

  send(frames: Uint8Array[]): void {
    if (this.away) return;
    for (const one of frames) {
      const m = decode(one) as Map<number, Value>;
      switch (m.get(1)) {
        case type.hello:
          this.vector = m.get(4) as Value[];
          this.tell([1, type.welcome], [2, crypto.getRandomValues(new Uint8Array(16))], [4, this.vector], [7, 1 << 18], [8, 1 << 12]);
          this.tellLinks();
          break;
        case type.events:
          setTimeout(() => this.tell([1, type.ping]), answerMs);
          break;
        case type.pong: // it names the last event that the phone wrote, and so all before it
          this.tell([1, type.ack], [2, m.get(2) as Value[]], [3, []]);
          break;
      }
    }
  }

  /** Everybody of the made-up session is near. */
  private tellLinks(): void {
    const now = Date.now();
    const links = this.vector.filter((_, i) => i % 3 === 0).map((replica) => [replica, now, true] as const);
    if (links.length > 0) this.tell([1, type.links], [2, links], [3, now], [4, this.vector]);
  }

  /** The room goes out of reach, or comes back. */
  leave(away: boolean): void {
    if (this.away === away) return;
    this.away = away;
    if (away) this.events.closed();
    else this.open();
  }

  hurry(): void {
    // a made-up room is as near as it is meant to be
  }

  end(): void {
    this.ended = true;
    clearInterval(this.timer);
  }
}
