// What figures are, and what they are made of, in words. They come with the
// sheet that shows them, not with the first screen.

import { enums, type Figure, type Ref, type Term, type View } from "../../bridge/protocol.gen";
import words from "../../words/en.json?figures";
import { armName } from "../punch/arm";
import { per } from "./per";
import { addWords, hasWords, say, type Under } from "./say";

addWords(words);

type Asked = Exclude<Figure, "">;
type Part = "figure" | "figureIs" | "figureBy" | "figureFrom" | "figureCheck";

/** A figure's title, its definition, its formula, its source, or the values that it is held to; "" for none. */
export function ofFigure(part: Part, figure: Asked): string {
  const key = `${part}.${figure}`;
  return hasWords(key) ? say(key) : "";
}

/** Every figure, in the order of the engine. */
export const figures = Object.keys(enums.Figure) as Asked[];

/** Other words of the sheet and of the page about figures. */
export function sayOf(key: string, args: Readonly<Record<string, string>> = {}): string {
  return hasWords(key) ? say(key, args) : key;
}

/** What a zone, region, pass, dish, set-up or trial is called, of a trial one of its arms where that is named, from 1; "" for none. */
export function nameOf(at: Ref, view: View, arm = 0): string {
  const zone = view.zones.find((z) => z.ref === at)?.name;
  const region = view.regions.find((r) => r.ref === at);
  const dish = view.dishes.find((d) => d.ref === at)?.label;
  const pass = view.passes.findIndex((p) => p.ref === at);
  const trial = view.trials.findIndex((t) => t.ref === at);
  const setup = view.setups.find((s) => s.ref === at)?.name;
  if (setup !== undefined) return setup;
  const tried = view.trials[trial];
  if (tried) return arm > 0 ? armName(view, tried, arm - 1) : sayOf("where.trial", { n: String(trial + 1) });
  return zone ?? (region ? `${region.code} ${region.name}` : (dish ?? (pass >= 0 ? sayOf("where.pass", { n: String(pass + 1) }) : "")));
}

/** What an agent is called, configured or of a label by its number, or what is held against a dilute regime; "" for none. */
export function agentOf(at: Ref, label: number, view: View): string {
  const group = view.doses.groups.find((g) => g.ref === at && g.asked === label);
  if (group?.tumescent) return say("entry.dilute", { agent: group.substance });
  const a = view.doses.agents.find((one) => (at === "" ? one.label !== "" && enums.Label[one.label] === label : one.ref === at));
  return a ? (a.epinephrine ? say("entry.with", { agent: a.substance }) : a.substance) : "";
}

/** Whether a figure is about doses: then its size is the number of a label. */
export const ofDoses = (figure: Figure): boolean => figure.startsWith("dose");

/** What a term is called. */
export function termName(t: Term, view: View): string {
  const name =
    t.name === "size"
      ? say(`size.${t.size}` as Under<"size.">)
      : ofDoses(t.name as Figure)
        ? agentOf(t.at, t.size, view)
        : nameOf(t.at, view, t.size);
  return sayOf(`term.${t.name}`, { name: name || sayOf("where.elsewhere") });
}

/** How much a term is. */
export const termFigure = (t: Term): string => per(t.n, t.per);
