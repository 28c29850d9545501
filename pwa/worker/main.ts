// The worker: owns the engine, what is kept, and the socket. It carries duties
// out in their order: keep, then show, then send.
import type { FromWorker, Joining, Starting, ToWorker, Truth } from "../bridge/messages";
import type { Fact } from "../bridge/protocol.gen";
import { enter, Refused, renew, roomNow } from "./api";
import { answer } from "./ask";
import { carryIn } from "./carried";
import * as engine from "./engine";
import { Inbox } from "./inbox";
import { Keeper } from "./keeper";
import { Alarm, until } from "./later";
import { asLead } from "./lead";
import { Link } from "./link";
import { Mirror } from "./mirror";
import { MadeUpRoom, makeUp, outOfPlace } from "./practice";
import { Shows } from "./shows";
import * as store from "./store";
import { alone, live } from "./tabs";

let telling: FromWorker[] = [];

/** Tells the page; all of one turn at once, so that it is drawn once. */
function tell(message: FromWorker): void {
  if (telling.push(message) > 1) return;
  queueMicrotask(() => {
    postMessage(telling);
    telling = [];
  });
}

let face: store.Face = "phone";
let me: store.Me | null = null;
let link: Link | MadeUpRoom | null = null;
let canKeep = true; // false once this phone's disk refused: counting goes on in memory
let owner = true; // false beside another tab: who this phone is, that one keeps
let marks: Pick<store.Me, "mark" | "seen"> = {};
let marked = false; // this start's mark is kept here
let replica = ""; // the id that the engine writes under
let truth: Truth | null = null;
let unknown = false; // the room's server does not know this phone
let nextTap = 1_000_000_000; // the worker's own taps, apart from the screens'

/** How long a token is used: a little less than the server honours it, by this phone's own clock. */
const tokenMs = 14 * 60_000;

/** What was asked while the engine starts; null once it has. */
let held: (() => void)[] | null = [];
let starts = 0; // under way
let turn: Promise<void> = Promise.resolve(); // of the last of them

const whenStarted = (work: () => void): void => {
  if (held) held.push(work);
  else work();
};

function goOn(): void {
  const asked = held ?? [];
  held = null;
  for (const one of asked) one();
}

const keeper = new Keeper((batch, kept) => {
  if (!kept || !canKeep) tell({ tell: "storage", state: kept ? "kept" : "memory" });
  canKeep = kept;
  const seq = batch[batch.length - 1]?.seq ?? 0; // all of one id: the engine starts over when nothing waits
  carryOut(kept ? engine.kept(seq) : engine.keepFailed(seq));
});

const mirror = new Mirror();

/** Frames in line; a tick shows what they brought. */
const inbox = new Inbox(
  (frame, quiet) => carryOut(engine.frame(frame, quiet)),
  () => carryOut(engine.tick()),
);

const shows = new Shows((sections, steps) => tell({ tell: "show", sections, steps }));

function carryOut(d: engine.Duties): void {
  const mine = me;
  if (mine && d.keep.length > 0) keeper.keep(d.keep.map((one) => ({ session: mine.session, replica, ...one })));
  if (mine && d.others.length > 0 && canKeep) mirror.keep(mine.session, d.others);
  for (const a of d.answers) tell({ tell: "answer", id: a.id, ref: a.ref, fault: a.fault });
  if (d.truth) {
    inbox.shown();
    show(d);
    const { heard: _heard, epoch: _epoch, ...rest } = d.truth;
    truth = { ...rest, memory: keeper.unkept.length };
    tell({ tell: "truth", truth });
    believe(d.truth);
  }
  if (d.send.length > 0) link?.send(d.send);
  if (d.trouble) tell({ tell: "trouble", fault: d.trouble });
  if (d.mint) mint();
  if (d.wakeAt > 0) alarm.set(d.wakeAt);
}

/** Lets go of the room, and of what it sent. */
function hangUp(): void {
  link?.end();
  inbox.drop();
}

/** Shows what changed. Under an id that has not joined yet a phone has no tally, and shows the one before. */
function show(d: engine.Duties): void {
  const sections = { ...d.show };
  if (me && sections.own?.station === "") delete sections.own;
  else if (me && sections.own && sections.own.person !== me.person) remember({ person: sections.own.person });
  shows.show(sections, d.steps);
}

/** Ticks the engine when it asked to be woken. */
const alarm = new Alarm(() => carryOut(engine.tick()));

let remembering: ReturnType<typeof setTimeout> | undefined;

/** Keeps what changed about this phone, twice a second at most. */
function remember(change: Partial<store.Me>): void {
  if (!me) return;
  me = { ...me, ...change };
  remembering ??= setTimeout(() => void writeMe(), 500);
}

/** Keeps what the room had, so that a start without network can say so; at once when the room is lost. */
function believe(t: Truth & engine.Heard): void {
  if (t.up) remember({ heardMs: t.heardMs, epoch: t.epoch, ...(t.heard.length > 0 ? { heard: t.heard } : {}) });
  else if (remembering !== undefined) void writeMe();
}

async function writeMe(): Promise<void> {
  clearTimeout(remembering);
  remembering = undefined;
  if (!me || !owner) return;
  try {
    await store.writeMe(face, { ...me, ...marks });
    if (marks.mark && !marked) tell({ tell: "marked" });
    marked = true;
  } catch {
    if (canKeep) tell({ tell: "storage", state: "memory" });
    canKeep = false;
  }
}

/** Has the engine start over as somebody. What is asked meanwhile waits, so that no tap falls between two engines. */
function startOver(as: () => store.Me, joins = false): Promise<void> {
  held ??= [];
  starts++;
  hangUp();
  turn = turn.then(async () => {
    await keeper.idle(); // the engine before answers its taps
    await mirror.idle(); // the next one reads what lies on the disk
    me = as();
    await writeMe();
    await begin(me, joins);
    if (--starts === 0) goOn();
  });
  return turn;
}

/** The same phone under a new id, which names the one before. */
const renamed = (mine: store.Me): store.Me => ({ ...mine, was: mine.replica, replica: engine.randomHex(8), token: "", expiresMs: 0 });

/** This replica id is used elsewhere: go on under a new one, at once. A wall has none, and starts over. */
function mint(): void {
  const mine = me;
  if (mine) void startOver(() => renamed(mine));
  else again();
}

/** How a wall starts over. */
let again = (): void => undefined;

/** Starts the engine from what is kept, and connects. */
async function begin(as: store.Me, joins: boolean): Promise<void> {
  let mine = as;
  const read = await store.readEvents(mine.session).catch(() => null);
  if (!read) {
    mine = renamed(mine); // what is kept can not be read: under the old id its numbers would be used again
    me = mine;
    await writeMe();
  }
  const { own, others } = read ?? { own: [], others: [] };
  const unkept = keeper.unkept.filter((one) => one.session === mine.session).map((one) => one.body);
  replica = mine.replica;
  shows.anew();
  const d = engine.boot(mine, [...own, ...unkept, ...others]);
  const kept = own.length + unkept.length;
  tell({ tell: "ready", joined: { session: mine.session, room: mine.room, person: mine.person, station: mine.station }, kept });
  const holder = d.show.own;
  carryOut(d);
  if (d.mint || !holder) return;
  if (holder.station === "" || (joins && (holder.person !== mine.person || holder.station !== mine.station))) {
    carryOut(engine.tap(nextTap++, { kind: "joined", person: mine.person, station: mine.station }, false));
  }
  connect(mine.session, token);
}

function connect(session: string, next: (turnedAway: boolean) => Promise<string | null>): void {
  hangUp();
  const linked = (up: boolean) => (): void => {
    inbox.drain(); // it came before
    carryOut(engine.link(up));
  };
  const events = { opened: linked(true), frame: (frame: Uint8Array) => inbox.put(frame), closed: linked(false), token: next };
  link = face === "practice" ? new MadeUpRoom(events) : new Link(session, events); // practice has no way to a server
}

/** Says whether the room's server knows this phone, when that changes. */
function known(is: boolean): void {
  if (unknown === !is) return;
  unknown = !is;
  tell({ tell: "unknown", unknown });
}

/** A token that is still good for a while; renewed by the app, never by a person. */
async function token(turnedAway: boolean): Promise<string> {
  const mine = me;
  if (!mine) throw new Error("nobody joined");
  if (!turnedAway && mine.expiresMs - Date.now() >= 60_000) return mine.token;
  try {
    const grant = await renew(mine);
    known(true);
    if (me?.replica === mine.replica) remember({ token: grant.token, expiresMs: Date.now() + tokenMs });
    return grant.token;
  } catch (error) {
    if (error instanceof Refused && error.fault.code !== "unreachable") {
      if (face === "phone" && ["secret-refused", "session-missing"].includes(error.fault.code)) known(false);
      else tell({ tell: "trouble", fault: error.fault });
    }
    throw error;
  }
}

const allSent = (): Promise<void> => keeper.idle().then(() => until(() => !truth || truth.unsent === 0));

/** Says that this phone counts here no more: it would be waited for. */
async function goodbye(): Promise<void> {
  if (me && truth?.up) carryOut(engine.tap(nextTap++, { kind: "left" }, false));
  await allSent();
}

async function joinRoom(id: number, how: Joining): Promise<void> {
  const before = me;
  if (before) await allSent(); // a page just opened has not heard of them yet
  const unsent = truth?.unsent ?? 0;
  try {
    const grant = await enter(how, before);
    if (before && before.session !== grant.session && unsent > 0 && !how.sure) {
      throw new Refused({ code: "unsent-there", args: { n: String(unsent) } });
    }
    if (before && before.session !== grant.session) await goodbye();
    owner = true;
    known(true);
    const same = before?.session === grant.session; // what it had heard shows what a new server lacks
    await startOver(
      () => ({ ...(same && me ? me : {}), ...grant, expiresMs: Date.now() + tokenMs, person: how.person, station: how.station }),
      true,
    );
    tell({ tell: "answer", id, ref: "", fault: null });
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    tell({ tell: "answer", id, ref: "", fault: error.fault });
  }
}

async function start(m: Starting): Promise<void> {
  face = m.face;
  if (m.mark !== null) marks = { mark: m.nextMark, seen: m.mark };
  marked = false;
  if (face === "practice") store.practiseApart();
  const tabs = await alone(face, m.steal, () => {
    hangUp(); // another tab took over
    me = null;
    tell({ tell: "elsewhere" });
  });
  if (tabs === "elsewhere") {
    tell({ tell: "elsewhere" });
    return;
  }
  owner = tabs === "alone";
  await loaded;
  let mine: store.Me | undefined;
  try {
    mine = await store.readMe(face);
    tell({ tell: "storage", state: "kept" });
  } catch {
    canKeep = false;
    tell({ tell: "storage", state: "memory" });
  }
  if (!mine) {
    if (m.mark && face !== "practice") tell({ tell: "trouble", fault: { code: "cleared", args: {} } }); // the page remembers a start, and here is nothing of it
    tell({ tell: "ready", joined: null, kept: 0 });
    goOn();
    return;
  }
  // One of two stores was set back: whatever it had then may have gone on.
  const copied = m.mark !== null && mine.mark !== undefined && m.mark !== mine.mark && m.mark !== mine.seen;
  if (copied) tell({ tell: "trouble", fault: { code: "history-split", args: {} } });
  const as = copied || m.mint || !owner ? renamed(mine) : mine;
  await startOver(() => as);
}

/** A wall follows whatever runs in its room. */
async function watch(room: string): Promise<void> {
  await loaded;
  let session = "";
  again = () => {
    shows.anew();
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
  tell({ tell: "ready", joined: null, kept: 0 });
  await look();
}

async function leave(): Promise<void> {
  await goodbye();
  hangUp();
  link = null;
  me = null;
  truth = null;
  await (face === "practice" ? store.forgetAll() : store.forgetMe(face)).catch(() => undefined);
  tell({ tell: "ready", joined: null, kept: 0 });
}

function tap(id: number, fact: Fact, late: boolean): void {
  if (me) carryOut(engine.tap(id, fact, late));
  else tell({ tell: "answer", id, ref: "", fault: { code: "not-booted", args: {} } });
}

addEventListener("message", (message: MessageEvent<ToWorker>): void => {
  const m = message.data;
  if (outOfPlace(face, m)) {
    if ("id" in m) tell({ tell: "answer", id: m.id, ref: "", fault: { code: "unreachable", args: {} } });
    return;
  }
  switch (m.do) {
    case "start":
      void start(m);
      break;
    case "watch":
      void watch(m.room);
      break;
    case "join":
      void joinRoom(m.id, m.joining);
      break;
    case "practise":
      whenStarted(
        () => void makeUp(m).then((as) => startOver(() => as, true).then(() => tell({ tell: "answer", id: m.id, ref: "", fault: null }))),
      );
      break;
    case "away":
      if (link instanceof MadeUpRoom) link.leave(m.away);
      break;
    case "leave":
      whenStarted(() => void leave());
      break;
    case "tap":
      whenStarted(() => tap(m.id, m.fact, m.late));
      break;
    case "sight":
    case "day":
      whenStarted(() => void asLead(m, me, token(false)).then(tell));
      break;
    case "carryIn":
      whenStarted(() => void (me && carryIn(m.id, m.file, me.session, carryOut).then(tell)));
      break;
    case "hurry":
      link?.hurry();
      break;
    case "still":
      tell({ tell: "still" });
      break;
    default:
      whenStarted(() => tell(answer(m)));
  }
});

addEventListener("online", () => link?.hurry());

const loaded = engine.loadEngine();
live(`rootledger-${engine.randomHex(8)}`, (lock) => tell({ tell: "alive", lock }));
