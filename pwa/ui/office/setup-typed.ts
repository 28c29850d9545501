// A set-up as it is typed: texts and lines of texts, what is wrong with them,
// and the set-up that they say.
import "../parts/punch-words";
import type { Fault } from "../../bridge/messages";
import type { Motion } from "../../bridge/protocol.gen";
import { wholeNumber } from "../parts/dialog";
import { say, sayFault } from "../parts/say";
import { readDecimal, writeDecimal } from "../parts/units";
import type { Saved } from "./setup-saved";

/** One step as it is typed; its key stays when it moves. */
export interface Line {
  key: number;
  motion: Exclude<Motion, "">;
  ms: string;
  power: string;
  arc: string;
  rpm: string;
}

export interface Typed {
  name: string;
  diameter: string;
  edge: string;
  wait: string;
  lines: Line[];
}

/** What is wrong, by the name of a field; of a line "3.ms". */
export type Errors = Readonly<Record<string, string>>;

let keys = 0;

/** A step as a new one begins. */
export const newLine = (): Line => ({ key: ++keys, motion: "rotation", ms: "", power: "", arc: "", rpm: "" });

const shown = (n: number): string => (n === 0 ? "" : String(n));

export const typedOf = (s: Saved | null): Typed =>
  s === null
    ? { name: "", diameter: "", edge: "", wait: "0", lines: [newLine()] }
    : {
        name: s.name,
        diameter: writeDecimal(s.diameterUm, 3),
        edge: s.edge,
        wait: String(s.waitMs),
        lines: s.motions.map((motion, i) => ({
          key: ++keys,
          motion: motion === "" ? "rotation" : motion,
          ms: shown(s.stepsMs[i] ?? 0),
          power: shown(s.powerPercent[i] ?? 0),
          arc: shown(s.arcsDeg[i] ?? 0),
          rpm: shown(s.rpm[i] ?? 0),
        })),
      };

/** A whole number, or 0 for nothing; null for anything else. */
const orNone = (text: string): number | null => (text.trim() === "" ? 0 : wholeNumber(text));

/** The set-up that is typed, under an id, or what is no number in it. Its bounds are the engine's to say. */
export function read(t: Typed, id: number): Saved | Errors {
  const wrong: Record<string, string> = {};
  const whole = (field: string, text: string): number => {
    const n = orNone(text);
    if (n === null) wrong[field] = say("punch.whole-needed");
    return n ?? 0;
  };
  const diameterUm = readDecimal(t.diameter, 3);
  if (diameterUm === null) wrong.diameter = say("punch.diameter-needed");
  const out: Saved = {
    id,
    name: t.name.trim(),
    diameterUm: diameterUm ?? 0,
    edge: t.edge.trim(),
    waitMs: whole("wait", t.wait),
    motions: t.lines.map((l) => l.motion),
    stepsMs: t.lines.map((l, i) => whole(`${i}.ms`, l.ms)),
    powerPercent: t.lines.map((l, i) => whole(`${i}.power`, l.power)),
    arcsDeg: t.lines.map((l, i) => (l.motion === "oscillation" ? whole(`${i}.arc`, l.arc) : 0)),
    rpm: t.lines.map((l, i) => (l.motion === "vibration" ? 0 : whole(`${i}.rpm`, l.rpm))),
    savedMs: 0,
    retiredMs: 0,
  };
  if (out.name === "") wrong.name = say("punch.name-needed");
  return Object.keys(wrong).length > 0 ? wrong : out;
}

/** Which field a fault of the engine or the server is about, by its code and by the name that it gives the field. */
const owners: Readonly<Record<string, string>> = {
  "name of the set-up": "name",
  edge: "edge",
  "punch diameter in µm": "diameter",
  "setup-wait": "wait",
  "setup-steps": "steps",
  "saved-taken": "name",
  "step-ms": ".ms",
  "step-arc": ".arc",
  "step-rpm": ".rpm",
  "step-power": ".power",
};

/** The errors that a fault makes, in its own words but for the diameter, which is typed in mm. */
export function errorsOf(fault: Fault, words = sayFault(fault)): Errors {
  const owner = owners[fault.code] ?? owners[fault.args.field ?? ""] ?? "form";
  if (owner === "diameter") return { diameter: say("punch.diameter-range") };
  return owner.startsWith(".") ? { [`${Number(fault.args.step) - 1}${owner}`]: words } : { [owner]: words };
}
