// What screens ask of the engine and it answers at once, with nothing to keep.
import type { Chances, Chart, FromWorker, ToWorker } from "../bridge/messages";
import * as engine from "./engine";

/** A question. */
export type Ask = Extract<
  ToWorker,
  { do: "entries" | "behind" | "area" | "wanted" | "setup" | "compare" | "chances" | "chart" | "weigh" | "continued" | "handOut" }
>;

/** The engine's answer to one. */
export function answer(m: Ask): FromWorker {
  switch (m.do) {
    case "entries": {
      const d = engine.entries(m.id, m.most, m.of);
      return { tell: "entries", id: m.id, entries: engine.readEntryList(d.entries), steps: d.steps };
    }
    case "behind": {
      const d = engine.behind(m.id, m.where, m.most);
      return { tell: "behind", id: m.id, behind: d.behind, steps: d.steps };
    }
    case "area": {
      const d = engine.area(m.id, m.shape);
      return { tell: "area", id: m.id, mm2: d.worked[0] ?? 0, fault: d.answers[0]?.fault ?? null };
    }
    case "wanted": {
      const d = engine.wanted(m.id, m.wanted);
      const [grafts = 0, density10 = 0] = d.worked;
      return { tell: "wanted", id: m.id, grafts, density10, fault: d.answers[0]?.fault ?? null };
    }
    case "setup": {
      const d = engine.setup(m.id, m.fact);
      return { tell: "setup", id: m.id, setup: d.setup, fault: d.answers[0]?.fault ?? null };
    }
    case "compare":
      return { tell: "compare", id: m.id, compared: engine.compare(m.id, m.trial, m.full).compared };
    case "chances": {
      const d = engine.chances(m.id, m.fact);
      return { tell: "chances", id: m.id, chances: readChances(d.worked), fault: d.answers[0]?.fault ?? null };
    }
    case "chart":
      return { tell: "chart", id: m.id, chart: readChart(engine.chart(m.id, m.pass).worked) };
    case "weigh":
      return { tell: "weighed", id: m.id, ...engine.weigh(m.id, m.fact) };
    case "continued":
      return { tell: "continued", id: m.id, rest: engine.continued(m.id).rest };
    case "handOut":
      return { tell: "file", id: m.id, file: engine.handOut(m.id).file };
    default:
      return m satisfies never;
  }
}

/** The numbers in the order in which the engine lists them; null when it refused. */
function readChances(worked: readonly number[]): Chances | null {
  const [attempts, planned, falseParts, falseEvery, noticedIn, noticeParts] = worked as [number, number, number, number, number, number];
  return worked.length === 6 ? { attempts, planned: planned === 1, falseParts, falseEvery, noticedIn, noticeParts } : null;
}

function readChart(worked: readonly number[]): Chart {
  const [mean = 0, low = 0, high = 0, rest = 0, ...points] = worked;
  const groups: Chart["groups"] = [];
  for (let i = 0; i + 2 < points.length; i += 3) groups.push({ cut: points[i] ?? 0, out: points[i + 1] === 1, atMs: points[i + 2] ?? 0 });
  return { mean, low, high, rest, groups };
}
