// The arms of a trial as screens call them, and the turn that comes next.
import type { Fact, Ref, Setup, Trial, View } from "../../bridge/protocol.gen";
import { say } from "../parts/say";
import { writeDecimal } from "../parts/units";

/** A, B, C or D, in the order of the trial. */
export const armLetter = (n: number): string => "ABCD"[n] ?? "";

export const setupOf = (view: View, ref: Ref): Setup | undefined => view.setups.find((s) => s.ref === ref);

/** "A · Slow turn". */
export const armName = (view: View, trial: Trial, n: number): string =>
  say("setup.arm", { arm: armLetter(n), name: setupOf(view, trial.arms[n]?.setup ?? "")?.name ?? "" });

/** Whether a set-up of a trial was undone or replaced: no turn of it begins any more. */
export const armGone = (view: View, t: Trial): boolean => t.arms.some((a) => !setupOf(view, a.setup)?.offered);

/** Why an open trial has to be concluded, "" for no reason. */
export function toConclude(view: View, t: Trial): string {
  if (t.concluded) return "";
  if (armGone(view, t)) return say("trial.armGone");
  return view.trials.some((o) => o.ref !== t.ref && o.pass === t.pass && !o.concluded) ? say("trial.second") : "";
}

/** What a tap says that begins the next turn, with the set-up that was drawn for it. */
export const nextTurn = (t: Trial): Fact => ({
  kind: "setup chosen",
  pass: t.pass,
  setup: t.arms[t.next]?.setup ?? "",
  trial: t.ref,
  turn: t.nextTurn,
});

/** A punch's diameter in mm. */
export const sizeOf = (s: Setup): string => writeDecimal(s.diameterUm, 3);
