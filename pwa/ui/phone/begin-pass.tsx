// A new pass: how it is counted, and with which punch.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Fact, Mode, Ref } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { say, sayFault, type Under } from "../parts/say";

interface BeginProps {
  tap: (fact: Fact) => Promise<{ ref: Ref; fault: Parameters<typeof sayFault>[0] | null }>;
  onBegun: (ref: Ref) => void;
  onClose: () => void;
}

const modes: readonly Mode[] = ["each", "pulled", "exception"];

/** The form. */
export function BeginPass({ tap, onBegun, onClose }: BeginProps): JSX.Element {
  const [mode, setMode] = useState<Mode>("each");
  const [punch, setPunch] = useState("");
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const begin = async (): Promise<void> => {
    const um = Math.round(Number(punch.trim().replace(",", ".")) * 1000);
    if (!Number.isFinite(um)) {
      setWrong(say("extraction.punchWrong"));
      return;
    }
    const { ref, fault } = await tap({ kind: "pass begun", mode, diameterUm: um });
    if (fault) {
      setWrong(sayFault(fault));
      return;
    }
    onBegun(ref);
    onClose();
  };
  return (
    <Dialog title={say("extraction.begin")} onClose={onClose}>
      <fieldset class="modes">
        <legend>{say("extraction.how")}</legend>
        {modes.map((m) => (
          <label key={m} class={m === mode ? "on" : ""}>
            <input type="radio" name="mode" checked={m === mode} onChange={() => setMode(m)} />
            <span>{say(`mode.${m}` as Under<"mode.">)}</span>
            <span class="quiet">{say(`mode.${m}Why` as Under<"mode.">)}</span>
          </label>
        ))}
      </fieldset>
      <label class="field">
        <span>{say("extraction.punch")}</span>
        <input inputMode="decimal" value={punch} autoComplete="off" onInput={(e) => setPunch(e.currentTarget.value)} />
        {wrong ? <span class="wrong">{wrong}</span> : null}
      </label>
      <button type="button" class="do first" disabled={busy} onClick={() => run(begin)}>
        {say("extraction.beginNow")}
      </button>
    </Dialog>
  );
}
