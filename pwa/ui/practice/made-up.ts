// The made-up session that is practised in: invented grafts of nobody, an hour
// after the first was taken. What one station needs the others have done.
import type { Cast } from "../../bridge/messages";
import type { Fact, Outcome, Station } from "../../bridge/protocol.gen";

type Said = Cast["says"][number];

const said = (agoMin: number, fact: Fact, name?: string): Said => (name ? { agoMin, fact, name } : { agoMin, fact });

const hourMs = 3_600_000;

/** The plan: two zones that need 600 grafts each, and two regions that may give 800 each. */
const plan = (): Cast => ({
  person: "Oak",
  station: "office",
  says: [
    said(70, {
      kind: "opened",
      case: "PRACTICE",
      room: "1",
      stations: ["extraction", "sorting", "sites", "placing"],
      practiceStartMs: Date.now() - 2 * hourMs,
      practiceRealMs: Date.now() - 2 * hourMs,
      practiceSpeed: 1,
    }),
    said(69, { kind: "zone", name: "Front", areaMm2: 1500, density10: 400, mixPerMille: [600, 350, 50, 0] }, "front"),
    said(69, { kind: "zone", name: "Crown", areaMm2: 2000, density10: 300, mixPerMille: [100, 550, 300, 50] }, "crown"),
    said(68, region("BL", "Back left"), "left"),
    said(68, region("BR", "Back right"), "right"),
    said(67, { kind: "budget", grafts: 1200 }),
  ],
});

function region(code: string, name: string): Fact {
  return { kind: "region", code, name, areaMm2: 5000, density10: 800, sharePerMille: 200, hairsPerUnit100: 210 };
}

const attempt = (agoMin: number, region: string, outcome: Outcome, n: number): Said =>
  said(agoMin, { kind: "attempt", pass: "@pass", region, outcome, n });

const punching: Cast = {
  person: "Ash",
  station: "extraction",
  says: [
    said(66, { kind: "pass begun", mode: "each", diameterUm: 900, operator: "Ash" }, "pass"),
    attempt(55, "@left", "intact", 50),
    attempt(45, "@left", "intact", 48),
    attempt(44, "@left", "partial", 5),
    attempt(43, "@left", "empty", 3),
    attempt(30, "@right", "intact", 52),
    attempt(20, "@right", "intact", 46),
    attempt(19, "@right", "total", 4),
    attempt(18, "@right", "partial", 3),
  ],
};

const sorted = (agoMin: number, size: number, n: number, dish: string): Said => said(agoMin, { kind: "sorted", size, n, dish });

const sorting: Cast = {
  person: "Cedar",
  station: "sorting",
  says: [
    said(50, { kind: "dish", label: "1", size: 1 }, "one"),
    said(50, { kind: "dish", label: "2", size: 2 }, "two"),
    sorted(40, 1, 24, "@one"),
    sorted(38, 2, 46, "@two"),
    sorted(34, 3, 22, ""),
    sorted(16, 1, 22, "@one"),
    sorted(14, 2, 44, "@two"),
    sorted(12, 3, 18, ""),
    sorted(11, 4, 4, ""),
    said(10, { kind: "rejected", from: "bench", reason: "no hair", n: 4 }),
  ],
};

const siteMaking: Cast = {
  person: "Hazel",
  station: "sites",
  says: [
    said(40, { kind: "sites", zone: "@front", size: 1, n: 60 }),
    said(32, { kind: "sites", zone: "@front", size: 2, n: 40 }),
    said(24, { kind: "sites", zone: "@crown", size: 2, n: 40 }),
  ],
};

const placed = (agoMin: number, zone: string, size: number, n: number): Said => said(agoMin, { kind: "placed", zone, size, n });

const placing: Cast = {
  person: "Linden",
  station: "placing",
  says: [placed(28, "@front", 1, 18), placed(15, "@front", 2, 20), placed(8, "@front", 1, 6)],
};

/** A second budget, set by somebody who had not heard of the first. */
const apart: Cast = {
  person: "Yew",
  station: "lead",
  knows: 1,
  says: [said(66, { kind: "budget", grafts: 1150, reason: "short of time" })],
};

/** Everybody but whoever practises: their own station begins with what they count. */
export function castFor(station: Station): Cast[] {
  const others = [plan(), punching, sorting, siteMaking, placing];
  if (station !== "lead") return others;
  const [first, ...rest] = others as [Cast, ...Cast[]];
  const budget = first.says.at(-1) as Said;
  return [{ ...first, says: first.says.slice(0, -1) }, { person: "Oak", station: "office", knows: 1, says: [budget] }, apart, ...rest];
}
