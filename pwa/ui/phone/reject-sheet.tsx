// Why grafts are rejected: one touch, one graft.
import type { ComponentChildren, JSX } from "preact";
import type { Reason } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { say, type Under } from "../parts/say";

export const reasons: readonly Reason[] = ["cut", "no hair", "damaged", "dried", "lost", "surplus", "other"];

interface RejectProps {
  title: string;
  onReason: (r: Reason) => Promise<boolean>;
  onClose: () => void;
  children?: ComponentChildren; // what is asked beside the reason
}

/** The reasons, and what is asked before them. */
export function RejectSheet({ title, onReason, onClose, children }: RejectProps): JSX.Element {
  const [busy, run] = useBusy();
  return (
    <Dialog title={title} onClose={onClose}>
      {children}
      <ul class="choices">
        {reasons.map((r) => (
          <li key={r}>
            <button type="button" disabled={busy} onClick={() => run(() => onReason(r).then((ok) => ok && onClose()))}>
              {say(`reason.${r}` as Under<"reason.">)}
            </button>
          </li>
        ))}
      </ul>
    </Dialog>
  );
}
