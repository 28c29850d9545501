// The engine: Go, compiled to WebAssembly. One call in, the duties out.
import type { Carried, Fault, Shape, Step, Truth, Wanted, Where } from "../bridge/messages";
import {
  type Behind,
  type Comparison,
  type Continued,
  type Entry,
  enums,
  type Fact,
  facts,
  type Ref,
  readCompared,
  readDraft,
  readEntries,
  readRest,
  readSection,
  readWhat,
  readWhere,
  type Setup,
  sections,
  type View,
  type Weighed,
} from "../bridge/protocol.gen";
import { decode, encodeMap, Raw, type Value } from "./cbor";

declare const __ENGINE_URL__: string;
declare const Go: new () => { importObject: WebAssembly.Imports; run(instance: WebAssembly.Instance): Promise<void> };
declare global {
  var rootledgerHandle: ((call: Uint8Array) => Uint8Array) | undefined;
  var rootledgerReady: (() => void) | undefined;
}

/** Loads and starts the engine. It fails when the phone can not run it. */
export async function loadEngine(): Promise<void> {
  const go = new Go();
  const ready = new Promise<void>((resolve) => {
    globalThis.rootledgerReady = resolve;
  });
  const response = await fetch(__ENGINE_URL__);
  if (!response.ok) throw new Error(`engine: status ${response.status}`);
  const { instance } = await WebAssembly.instantiate(await response.arrayBuffer(), go.importObject);
  void go.run(instance);
  await ready;
}

const calls = {
  boot: 1,
  tap: 2,
  frame: 3,
  link: 4,
  kept: 5,
  keepFailed: 6,
  tick: 7,
  query: 8,
  handOut: 9,
  carryIn: 10,
  behind: 11,
  area: 12,
  wanted: 13,
  setup: 14,
  compare: 15,
  chances: 16,
  chart: 17,
  weigh: 18,
  continued: 19,
} as const;

/** The keys of a call, as pwa/bridge/call.go reads them. */
const key = {
  type: 1, tap: 2, realMs: 3, sinceMs: 4, session: 5, replica: 6, phone: 7, start: 8,
  bodies: 9, kind: 10, fact: 11, late: 12, frame: 13, up: 14, seq: 15, heardMs: 17, heard: 18, epoch: 19,
  was: 20, file: 21, of: 22, at: 23, size: 24, shape: 25, wanted: 26, quiet: 27,
} as const; // biome-ignore format: one glance

/** What a server said is stored, to be kept for the next boot. */
export interface Heard {
  heard: Uint8Array; // empty when it is as before
  epoch: Uint8Array;
}

/** What a call asks of the worker, in this order: keep, then show, then send. */
export interface Duties {
  keep: { seq: number; body: Uint8Array }[];
  others: Uint8Array[];
  answers: { id: number; ref: Ref; fault: Fault | null }[];
  show: Partial<View>;
  truth: (Truth & Heard) | null;
  entries: unknown;
  steps: Step[]; // how far each of the entries is, or, with show, each of the view's own last ones
  send: Uint8Array[];
  trouble: Fault | null;
  mint: boolean;
  wakeAt: number; // ms since 1970, 0 for no wish
  file: Uint8Array; // what the room lacks, for another phone to carry; empty for none
  carried: Carried; // what a carried file brought; its events are among others, to be kept for good
  behind: Behind | null; // where a figure comes from
  worked: number[]; // an area in mm²; or grafts wanted, and their density × 10
  setup: Setup | null; // a draft, and what follows from it
  compared: Comparison | null; // what set-ups gave
  weighed: Weighed | null; // what a dose or a weight would do
  rest: Continued | null; // what another day starts from
}

const started = performance.now();

let pastMs = 0; // how long ago a made-up session takes it to be

/** Has what follows happen that many minutes ago: for made-up sessions only. */
export const past = (minutes: number): void => {
  pastMs = minutes * 60_000;
};

function handle(type: keyof typeof calls, more: [number, Value | Raw][]): Duties {
  const call = globalThis.rootledgerHandle;
  if (!call) throw new Error("engine: not running");
  const map = new Map<number, Value | Raw>([
    [key.type, calls[type]],
    [key.realMs, Date.now() - pastMs],
    [key.sinceMs, Math.round(performance.now() - started)],
    ...more,
  ]);
  return readDuties(decode(call(encodeMap(map))) as readonly Value[]);
}

function readDuties(row: readonly Value[]): Duties {
  const show: Partial<View> = {};
  for (const one of row[3] as unknown as [number, number, unknown][]) {
    const section = sections[one[0]];
    if (section) readInto(show, section, one[2]);
  }
  return {
    keep: (row[0] as unknown as [number, Uint8Array][]).map(([seq, body]) => ({ seq, body: body.slice() })),
    others: (row[1] as unknown as Uint8Array[]).map((body) => body.slice()),
    answers: (row[2] as unknown as [number, string, string[]][]).map(([id, ref, fault]) => ({ id, ref, fault: readFault(fault) })),
    show,
    truth: readTruth(row[4] as unknown as unknown[]),
    entries: row[5],
    steps: (row[6] as unknown as number[]).map((n) => steps[n - 1] ?? "phone"),
    send: (row[7] as unknown as Uint8Array[]).map((frame) => frame.slice()),
    trouble: readFault(row[8] as unknown as string[]),
    mint: row[9] as boolean,
    wakeAt: row[10] as number,
    file: (row[11] as unknown as Uint8Array).slice(),
    carried: { n: row[12] as number, from: [...(row[13] as unknown as string[])] },
    behind: (row[14] as unknown as unknown[]).length > 0 ? readWhere(row[14]) : null,
    worked: [...(row[15] as unknown as number[])],
    setup: (row[16] as unknown as unknown[]).length > 0 ? readDraft(row[16]) : null,
    compared: (row[17] as unknown as unknown[]).length > 0 ? readCompared(row[17]) : null,
    weighed: (row[18] as unknown as unknown[]).length > 0 ? readWhat(row[18]) : null,
    rest: (row[19] as unknown as unknown[]).length > 0 ? readRest(row[19]) : null,
  };
}

function readInto<K extends keyof View>(view: Partial<View>, section: K, raw: unknown): void {
  view[section] = readSection[section](raw);
}

/** How far a count has come, by the engine's numbers. */
const steps: readonly Step[] = ["memory", "phone", "room"];

function readTruth(row: unknown[]): (Truth & Heard) | null {
  if (row.length === 0) return null;
  const [written, unsent, memory, refused, up, heardMs, heard, epoch] = row as [
    number,
    number,
    number,
    number,
    boolean,
    number,
    Uint8Array,
    Uint8Array,
  ];
  return { written, unsent, memory, refused, up, heardMs, heard: heard.slice(), epoch: epoch.slice() };
}

function readFault(row: readonly string[]): Fault | null {
  const [code, ...rest] = row;
  if (code === undefined) return null;
  const args: Record<string, string> = {};
  for (let i = 0; i + 1 < rest.length; i += 2) args[rest[i] as string] = rest[i + 1] as string;
  return { code, args };
}

/** Own entries, as a query answers them. */
export const readEntryList = (raw: unknown): Entry[] => readEntries(raw);

/** Bytes of hexadecimal text. */
export function unhex(s: string): Uint8Array {
  return Uint8Array.from({ length: s.length / 2 }, (_, i) => Number.parseInt(s.slice(2 * i, 2 * i + 2), 16));
}

/** Hexadecimal text of bytes. */
export function hex(b: Uint8Array): string {
  return Array.from(b, (x) => x.toString(16).padStart(2, "0")).join("");
}

/** Random bytes as hexadecimal text. */
export function randomHex(bytes: number): string {
  return hex(crypto.getRandomValues(new Uint8Array(bytes)));
}

function ref(text: Ref): Value {
  const [replica = "", seq = "", check = ""] = text.split(":");
  return [unhex(replica), Number(seq), unhex(check)];
}

/** Encodes the map of a fact; what is empty, zero or false is left out. */
export function encodeFact(fact: Fact): { kind: number; map: Uint8Array } {
  const [kind, fields] = facts[fact.kind];
  const map = new Map<number, Value>();
  for (const [name, field, form, index] of fields) {
    const v = (fact as unknown as Record<string, unknown>)[name];
    const encoded = encodeField(v, form, index);
    if (encoded !== null) map.set(field, encoded);
  }
  return { kind, map: encodeMap(map) };
}

function encodeField(v: unknown, form: string, index: number): Value | null {
  if (v === undefined || v === null || v === "" || v === 0 || v === false) return null;
  switch (form) {
    case "number":
    case "text":
    case "flag":
      return v as Value;
    case "ref":
      return ref(v as Ref);
    case "id":
      return unhex(v as string);
    case "refs":
      return (v as Ref[]).length === 0 ? null : (v as Ref[]).map(ref);
    case "numbers":
      return (v as number[]).length === 0 ? null : (v as number[]);
    case "element":
      return (v as number[])[index] || null;
  }
  const [, list] = form.split(":");
  const table = enums[(list ?? form) as keyof typeof enums] as Record<string, number>;
  return list ? (v as string[]).map((one) => table[one] ?? 0) : (table[v as string] ?? null);
}

/** Who boots: ids as hexadecimal text, and what is remembered of the server. */
export interface Booting {
  session: string;
  replica: string;
  phone: string;
  was?: string; // the id under which this phone counted before
  heardMs?: number;
  heard?: Uint8Array;
  epoch?: Uint8Array;
}

/** Starts over from what the phone kept. */
export function boot(me: Booting, bodies: Uint8Array[]): Duties {
  return handle("boot", [
    [key.session, unhex(me.session)],
    [key.replica, unhex(me.replica)],
    [key.phone, unhex(me.phone)],
    [key.start, unhex(randomHex(8))],
    [key.bodies, bodies],
    [key.heardMs, me.heardMs ?? 0],
    [key.heard, me.heard ?? new Uint8Array()],
    [key.epoch, me.epoch ?? new Uint8Array(16)],
    [key.was, unhex(me.was ?? "0".repeat(16))],
  ]);
}

/** Records a fact. */
export function tap(id: number, fact: Fact, late: boolean): Duties {
  const { kind, map } = encodeFact(fact);
  return handle("tap", [
    [key.tap, id],
    [key.kind, kind],
    [key.fact, new Raw(map)],
    [key.late, late],
  ]);
}

/** Takes a frame in; quietly, what it brought is shown by a later call. */
export const frame = (bytes: Uint8Array, quiet: boolean): Duties =>
  handle("frame", [
    [key.frame, bytes],
    [key.quiet, quiet],
  ]);
export const link = (up: boolean): Duties => handle("link", [[key.up, up]]);
export const kept = (seq: number): Duties => handle("kept", [[key.seq, seq]]);
export const keepFailed = (seq: number): Duties => handle("keepFailed", [[key.seq, seq]]);
export const tick = (): Duties => handle("tick", []);
export const entries = (id: number, most: number, of: string): Duties =>
  handle("query", [
    [key.tap, id],
    [key.seq, most],
    [key.replica, unhex(of || "0".repeat(16))],
  ]);

/** Where a figure comes from, and the newest entries behind it. */
export const behind = (id: number, { of, at, size }: Where, most: number): Duties =>
  handle("behind", [
    [key.tap, id],
    [key.seq, most],
    [key.of, enums.Figure[of as keyof typeof enums.Figure]],
    ...(at ? ([[key.at, ref(at)]] as [number, Value][]) : []),
    [key.size, size],
  ]);

const shapes = { rectangle: 1, ellipse: 2, outline: 3 } as const;

/** The area of a shape in mm². */
export const area = (id: number, shape: Shape): Duties =>
  handle("area", [
    [key.tap, id],
    [
      key.shape,
      shape.kind === "outline" ? [shapes.outline, [shape.rulerMm], shape.ruler, shape.points] : [shapes[shape.kind], shape.mm, [], []],
    ],
  ]);

/** The grafts, and their density × 10, that bring a share of the native hairs to an area. */
export const wanted = (id: number, w: Wanted): Duties =>
  handle("wanted", [
    [key.tap, id],
    [key.wanted, [w.areaMm2, w.hairs10, w.sharePerMille, w.perGraft100]],
  ]);

/** What follows from a set-up that nobody recorded. */
export const setup = (id: number, fact: Fact): Duties =>
  handle("setup", [
    [key.tap, id],
    [key.fact, new Raw(encodeFact(fact).map)],
  ]);

/** What the arms of a trial gave, or, of no trial, all set-ups. */
export const compare = (id: number, trial: Ref, full: boolean): Duties =>
  handle("compare", [[key.tap, id], ...(trial ? ([[key.at, ref(trial)]] as [number, Value][]) : []), [key.seq, full ? 1 : 0]]);

/** What a setting of the watch on cut grafts leads to, recorded or not. */
export const chances = (id: number, fact: Fact): Duties =>
  handle("chances", [
    [key.tap, id],
    [key.fact, new Raw(encodeFact(fact).map)],
  ]);

/** The cut attempts of a pass, in groups. */
export const chart = (id: number, pass: Ref): Duties =>
  handle("chart", [
    [key.tap, id],
    [key.at, ref(pass)],
  ]);

/** What a dose or a weight would do, and why it is asked about. */
export function weigh(id: number, fact: Fact): { weighed: Weighed | null; fault: Fault | null } {
  const { kind, map } = encodeFact(fact);
  const { weighed, answers } = handle("weigh", [
    [key.tap, id],
    [key.kind, kind],
    [key.fact, new Raw(map)],
  ]);
  return { weighed, fault: answers[0]?.fault ?? null };
}

/** What another day of this case starts from. */
export const continued = (id: number): Duties => handle("continued", [[key.tap, id]]);

/** What the room lacks, as a file that another phone can carry in. */
export const handOut = (id: number): Duties => handle("handOut", [[key.tap, id]]);
/** Takes such a file in. */
export const carryIn = (id: number, file: Uint8Array): Duties =>
  handle("carryIn", [
    [key.tap, id],
    [key.file, file],
  ]);
