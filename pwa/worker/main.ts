// The worker: owns the engine, what is kept, and the socket. It carries duties
// out in their order: keep, then show, then send.
import type { FromWorker, Joining, ToWorker, Truth } from "../bridge/messages";
import type { Fact } from "../bridge/protocol.gen";
import { join, Refused, renew, roomNow } from "./api";
import * as engine from "./engine";
import { Link } from "./link";
import * as store from "./store";

const tell = (message: FromWorker): void => postMessage(message);

let face: store.Face = "phone";
let me: store.Me | null = null;
let link: Link | null = null;
let canKeep = true; // false once this phone's disk refused: counting goes on in memory
let nextTap = 1_000_000_000; // the worker's own taps, apart from the screens'

/** How long a token is used: a little less than the server honours it, by this phone's own clock. */
const tokenMs = 14 * 60_000;

/** An own event, and the id that it was written under. */
interface Waiting {
  replica: string;
  seq: number;
  body: Uint8Array;
}

/** Own events that wait for the disk; one transaction takes all that wait. */
let waiting: Waiting[] = [];
/** Own events that the disk refused; each try takes them along. */
let unkept: Waiting[] = [];
let keeping = false;
/** The id that the engine writes under. */
let replica = "";
/** What was written while the engine is about to start over, so that it does not miss it. */
let meanwhile: Waiting[] | null = null;
/** Taps that no answer came to yet. */
const unanswered = new Set<number>();

function carryOut(d: engine.Duties): void {
  if (d.keep.length > 0) {
    const written = d.keep.map((one) => ({ replica, ...one }));
    waiting.push(...written);
    meanwhile?.push(...written);
    void keepWaiting();
  }
  if (d.others.length > 0 && me && canKeep) {
    store.keepOthers(me, d.others, "relaxed").catch(() => undefined); // the server has them
  }
  for (const a of d.answers) {
    unanswered.delete(a.id);
    if (a.id > 0) tell({ tell: "answer", id: a.id, ref: a.ref, fault: a.fault });
    else if (a.fault) tell({ tell: "trouble", fault: a.fault });
  }
  if (Object.keys(d.show).length > 0) tell({ tell: "show", sections: d.show });
  if (d.truth) {
    const { heard: _heard, epoch: _epoch, ...truth } = d.truth;
    tell({ tell: "truth", truth });
    remember(d.truth);
  }
  if (d.send.length > 0) link?.send(d.send);
  if (d.trouble) tell({ tell: "trouble", fault: d.trouble });
  if (d.mint) void mint();
  if (d.wakeAt > 0) wake(d.wakeAt);
}

let waking: ReturnType<typeof setTimeout> | undefined;

/** Ticks the engine when it asked to be woken. */
function wake(atMs: number): void {
  clearTimeout(waking);
  waking = setTimeout(() => carryOut(engine.tick()), Math.max(250, atMs - Date.now()));
}

let remembering: ReturnType<typeof setTimeout> | undefined;

/** Keeps what the room had, so that a start without network can say so: twice a second at most, and when the room is lost. */
function remember(t: Truth & engine.Heard): void {
  if (!me) return;
  if (t.up) me = { ...me, heardMs: t.heardMs, epoch: t.epoch, heard: t.heard.length > 0 ? t.heard : (me.heard ?? t.heard) };
  if (t.up && remembering === undefined) remembering = setTimeout(writeRemembered, 500);
  if (!t.up && remembering !== undefined) writeRemembered();
}

function writeRemembered(): void {
  clearTimeout(remembering);
  remembering = undefined;
  if (me && canKeep) store.writeMe(face, me).catch(() => undefined);
}

async function keepWaiting(): Promise<void> {
  if (keeping || !me) return;
  keeping = true;
  while (waiting.length > 0) {
    const batch = waiting;
    waiting = [];
    try {
      await store.keepOwn(me, [...unkept, ...batch]);
      unkept = [];
      if (!canKeep) tell({ tell: "storage", state: "kept" });
      canKeep = true;
      release(batch, engine.kept);
    } catch {
      unkept.push(...batch);
      canKeep = false;
      tell({ tell: "storage", state: "memory" });
      release(batch, engine.keepFailed);
    }
  }
  keeping = false;
}

/** Lets the taps of a batch go on; the engine knows nothing of those under an earlier id. */
function release(batch: Waiting[], how: (seq: number) => engine.Duties): void {
  const last = batch[batch.length - 1];
  if (last?.replica === replica) carryOut(how(last.seq));
}

/** This replica id is used elsewhere: go on under a new one, at once. A wall has none, and starts over. */
async function mint(): Promise<void> {
  if (!me) {
    again();
    return;
  }
  const fresh = { ...me, was: me.replica, replica: engine.randomHex(8), token: "", expiresMs: 0 };
  me = fresh;
  link?.end();
  await store.writeMe(face, fresh).catch(() => undefined);
  await begin(fresh);
}

/** How a wall starts over. */
let again = (): void => undefined;

/** Starts the engine from what is kept, and connects. */
async function begin(mine: store.Me): Promise<void> {
  me = mine;
  meanwhile = [...unkept, ...waiting];
  const bodies = await store.readEvents(mine.session).catch(() => [] as Uint8Array[]);
  if (me?.replica !== mine.replica || me.session !== mine.session) return; // another id was taken meanwhile
  replica = mine.replica;
  const d = engine.boot(mine, [...bodies, ...meanwhile.map((one) => one.body)]);
  meanwhile = null;
  for (const id of unanswered) tell({ tell: "answer", id, ref: "", fault: null }); // written under the id before
  unanswered.clear();
  tell({ tell: "ready", joined: { session: mine.session, room: mine.room, person: mine.person, station: mine.station } });
  carryOut(d);
  if (d.show.own && d.show.own.station === "") {
    carryOut(engine.tap(nextTap++, { kind: "joined", person: mine.person, station: mine.station }, false));
  }
  connect(mine.session, token);
}

function connect(session: string, next: (turnedAway: boolean) => Promise<string | null>): void {
  link?.end();
  link = new Link(session, {
    opened: () => carryOut(engine.link(true)),
    frame: (bytes) => carryOut(engine.frame(bytes)),
    closed: () => carryOut(engine.link(false)),
    token: next,
  });
}

/** A token that is still good for a while; renewed by the app, never by a person. */
async function token(turnedAway: boolean): Promise<string> {
  if (!me) throw new Error("nobody joined");
  if (turnedAway || me.expiresMs - Date.now() < 60_000) {
    try {
      const grant = await renew(me);
      me = { ...me, token: grant.token, expiresMs: Date.now() + tokenMs };
      if (canKeep) await store.writeMe(face, me).catch(() => undefined);
    } catch (error) {
      if (error instanceof Refused && error.fault.code !== "unreachable") tell({ tell: "trouble", fault: error.fault });
      throw error;
    }
  }
  return me.token;
}

async function joinRoom(id: number, how: Joining): Promise<void> {
  const before = me;
  const phone = before?.phone ?? engine.randomHex(16);
  const replica = before && how.session === before.session ? before.replica : engine.randomHex(8);
  try {
    const grant = await join(how, phone, replica);
    const same = before?.session === grant.session ? before : {}; // what it had heard shows what a new server lacks
    const mine: store.Me = { ...same, ...grant, expiresMs: Date.now() + tokenMs, person: how.person, station: how.station, phone, replica };
    try {
      await store.writeMe(face, mine);
    } catch {
      canKeep = false;
      tell({ tell: "storage", state: "memory" });
    }
    await begin(mine);
    tell({ tell: "answer", id, ref: "", fault: null });
  } catch (error) {
    tell({ tell: "answer", id, ref: "", fault: error instanceof Refused ? error.fault : { code: "internal", args: {} } });
  }
}

/** One writer per phone: the lock is held as long as this worker lives. */
async function alone(steal: boolean): Promise<boolean> {
  if (!navigator.locks) return true; // plain http: the browser has no locks
  return new Promise((resolve) => {
    const name = `rootledger-${face}`;
    navigator.locks
      .request(name, steal ? { steal: true } : { ifAvailable: true }, (lock) => {
        resolve(lock !== null);
        return lock === null ? undefined : new Promise<void>(() => undefined);
      })
      .catch(() => {
        link?.end(); // another tab took over
        me = null;
        tell({ tell: "elsewhere" });
      });
  });
}

async function start(steal: boolean, mintFirst: boolean): Promise<void> {
  if (!(await alone(steal))) {
    tell({ tell: "elsewhere" });
    return;
  }
  await loaded;
  let mine: store.Me | undefined;
  try {
    mine = await store.readMe(face);
    tell({ tell: "storage", state: "kept" });
  } catch {
    canKeep = false;
    tell({ tell: "storage", state: "memory" });
  }
  me = mine ?? null;
  if (mine && mintFirst) await mint();
  else if (mine) await begin(mine);
  else tell({ tell: "ready", joined: null });
}

/** A wall follows whatever runs in its room. */
async function watch(room: string): Promise<void> {
  await loaded;
  let session = "";
  again = () => {
    carryOut(engine.boot({ session, replica: "0".repeat(16), phone: "0".repeat(32) }, []));
    connect(session, () => Promise.resolve(null));
  };
  const look = async (): Promise<void> => {
    try {
      const now = await roomNow(room);
      tell({ tell: "room", room: now });
      if (now && now.session !== session) {
        session = now.session;
        again();
      }
    } catch {
      // unreachable: the socket's silence says so on the wall
    }
    setTimeout(() => void look(), 3_000);
  };
  await look();
}

function leave(): void {
  link?.end();
  link = null;
  me = null;
  void store.forgetMe(face).then(() => tell({ tell: "ready", joined: null }));
}

const tap = (id: number, fact: Fact, late: boolean): void => {
  if (!me) return;
  unanswered.add(id);
  carryOut(engine.tap(id, fact, late));
};

addEventListener("message", (message: MessageEvent<ToWorker>): void => {
  const m = message.data;
  switch (m.do) {
    case "start":
      face = m.face;
      void start(false, m.mint);
      break;
    case "steal":
      void start(true, false);
      break;
    case "watch":
      void watch(m.room);
      break;
    case "join":
      void joinRoom(m.id, m.joining);
      break;
    case "leave":
      leave();
      break;
    case "tap":
      tap(m.id, m.fact, m.late);
      break;
    case "entries": {
      const d = engine.entries(m.id, m.most);
      tell({ tell: "entries", id: m.id, entries: engine.readEntryList(d.entries) });
      break;
    }
    default:
      m satisfies never;
  }
});

addEventListener("online", () => link?.hurry());

const loaded = engine.loadEngine();
