// What screens ask of the engine and it answers at once, with nothing to keep.
import type { FromWorker, ToWorker } from "../bridge/messages";
import * as engine from "./engine";

/** A question. */
export type Ask = Extract<ToWorker, { do: "entries" | "behind" | "area" | "wanted" | "setup" | "compare" | "handOut" }>;

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
    case "handOut":
      return { tell: "file", id: m.id, file: engine.handOut(m.id).file };
    default:
      return m satisfies never;
  }
}
