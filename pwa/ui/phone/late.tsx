// Whether a count happened before the last recount of its stock. Only that can
// bring a recount and the tallies together.
import type { JSX } from "preact";
import type { Identity, View } from "../../bridge/protocol.gen";
import { clock, say } from "../parts/say";

/** When one of these stocks was last counted again, 0 for never. */
export function recountedMs(view: View, stocks: readonly Identity[]): number {
  return Math.max(0, ...view.recounts.filter((r) => stocks.includes(r.what)).map((r) => r.atMs));
}

interface LateProps {
  view: View;
  stocks: readonly Identity[]; // that the count changes
  late: boolean;
  onLate: (late: boolean) => void;
}

/** A box to tick; nothing while none of the stocks was counted again. */
export function LateBox({ view, stocks, late, onLate }: LateProps): JSX.Element | null {
  const atMs = recountedMs(view, stocks);
  if (atMs === 0) return null;
  return (
    <label class="tick">
      <input type="checkbox" checked={late} onChange={(e) => onLate(e.currentTarget.checked)} />
      <span>{say("late.before", { time: clock(atMs) })}</span>
    </label>
  );
}
