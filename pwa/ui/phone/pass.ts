// A pass as screens write it.
import type { Mode, Outcome, Pass, Ref, View, Watched } from "../../bridge/protocol.gen";
import { say, type Under } from "../parts/say";
import { follows } from "../parts/spent";

/** "Pass 2, by exception". */
export const passName = (view: View, pass: Pass): string =>
  say("extraction.passName", { n: view.passes.indexOf(pass) + 1, mode: say(`mode.${pass.mode}` as Under<"mode.">) });

/** The watch on a pass while it asks for a look at the last grafts, and one follows that a look could spare. */
export const asksIn = (view: View, pass: Ref): Watched | undefined =>
  follows(view) ? view.quality.watched.find((w) => w.asks && w.pass === pass) : undefined;

const notIntact = ["partial", "total", "topped", "buried", "empty"] as const;

/** "Pass 2". */
export const passNumber = (view: View, pass: Pass): string => say("setup.pass", { n: view.passes.indexOf(pass) + 1 });

/** The outcomes that are tapped: by exception what is intact follows from the others, and taps of it count nothing. */
export const outcomesOf = (mode: Mode): readonly Exclude<Outcome, "">[] => (mode === "exception" ? notIntact : ["intact", ...notIntact]);
