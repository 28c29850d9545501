// The anaesthetic on the lead's phone: shares, cautions, and the lead's rules.
import "../parts/dose-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { DoseRule, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { Cautions, DoseLine, Doses, mg, summaryOf } from "../parts/doses";
import { HoldButton } from "../parts/hold";
import type { Room } from "../parts/room";
import { clock, say, sayFault } from "../parts/say";
import { readDecimal, writeDecimal } from "../parts/units";
import { Fold } from "./fold";

interface Of {
  room: Room;
  view: View;
}

export function DosesFold({ room, view }: Of): JSX.Element {
  const [setting, set] = useState(false);
  const d = view.doses;
  return (
    <Fold title={say("dose.title")} says={summaryOf(view)} asks={d.state === "past"} open={d.state === "past"}>
      <Doses room={room} view={view} />
      {d.last.length > 0 ? (
        <ul class="given" aria-label={say("dose.newest")}>
          {d.last.map((one) => (
            <li key={one.ref}>
              <DoseLine of={one} />
            </li>
          ))}
        </ul>
      ) : null}
      <h3>{say("dose.rules")}</h3>
      {d.rules.length === 0 ? <p class="quiet">{say("dose.rulesNone")}</p> : null}
      <ul class="given">
        {d.rules.map((r) => (
          <Rule key={r.substance} of={r} />
        ))}
      </ul>
      <button type="button" class="do" onClick={() => set(true)}>
        {say("dose.setRule")}
      </button>
      <Cautions view={view} />
      {setting ? <RuleSheet room={room} view={view} onClose={() => set(false)} /> : null}
    </Fold>
  );
}

function Rule({ of: r }: { of: DoseRule }): JSX.Element {
  const says = [
    r.apart ? say("dose.ruleIsApart", { agent: r.substance }) : "",
    r.perKgUg > 0 ? say("dose.ruleIsDilute", { agent: r.substance, strength: writeDecimal(r.strength, 2), n: mg(r.perKgUg) }) : "",
  ].filter(Boolean);
  return (
    <li>
      <span>{says.length > 0 ? says.join("; ") : say("dose.ruleIsPlain", { agent: r.substance })}</span>
      <span class="quiet">
        {say("dose.ruleBy", {
          person: r.person || say("lead.nobody"),
          time: clock(r.atMs),
          reason: [r.reason, r.source].filter(Boolean).join("; "),
        })}
      </span>
    </li>
  );
}

/** What the lead says of one substance, as a whole, held to confirm. */
function RuleSheet({ room, view, onClose }: Of & { onClose: () => void }): JSX.Element {
  const substances = [...new Set(view.doses.agents.map((a) => a.substance))];
  const ruleOf = (s: string): DoseRule | undefined => view.doses.rules.find((r) => r.substance === s);
  const [substance, setSubstance] = useState(substances[0] ?? "");
  const [form, setForm] = useState(() => filled(ruleOf(substance)));
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const type = (part: Partial<RuleForm>): void => {
    setForm({ ...form, ...part });
    setWrong("");
  };
  const keep = async (): Promise<void> => {
    const perKgUg = form.dilute ? readDecimal(form.perKg, 3) : 0;
    const strength = form.dilute ? readDecimal(form.strength, 2) : 0; // g/L as % × 1000
    if (perKgUg === null || strength === null) return setWrong(say("dose.numberWrong"));
    const source = form.dilute ? form.source.trim() : "";
    const { fault } = await room.tap({
      kind: "dose rule",
      substance,
      apart: form.apart,
      perKgUg,
      strength,
      source,
      reason: form.reason.trim(),
    });
    if (fault) setWrong(sayFault(fault));
    else onClose();
  };
  const line = (label: string, key: "perKg" | "strength" | "source" | "reason", numeric = false): JSX.Element => (
    <label class="field">
      <span>{label}</span>
      <input
        class={key}
        value={form[key]}
        inputMode={numeric ? "decimal" : "text"}
        maxLength={500}
        autoComplete="off"
        onInput={(e) => type({ [key]: e.currentTarget.value })}
      />
    </label>
  );
  return (
    <Dialog title={say("dose.setRule")} onClose={onClose}>
      <label class="field">
        <span>{say("dose.ruleOf")}</span>
        <select
          value={substance}
          onChange={(e) => {
            setSubstance(e.currentTarget.value);
            setForm(filled(ruleOf(e.currentTarget.value)));
          }}
        >
          {substances.map((s) => (
            <option key={s} value={s}>
              {s}
            </option>
          ))}
        </select>
      </label>
      <Tick label={say("dose.ruleApart")} on={form.apart} onChange={(apart) => type({ apart })} />
      <Tick label={say("dose.ruleDilute")} on={form.dilute} onChange={(dilute) => type({ dilute })} />
      {form.dilute ? (
        <>
          <div class="pair">
            {line(say("dose.rulePerKg"), "perKg", true)}
            {line(say("dose.ruleStrength"), "strength", true)}
          </div>
          {line(say("dose.ruleSource"), "source")}
        </>
      ) : null}
      {line(say("dose.ruleReason"), "reason")}
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      <HoldButton label={say("dose.ruleHold")} disabled={busy} onHeld={() => run(keep)} />
      <p class="quiet">{say("dose.ruleWhole")}</p>
      <p class="quiet">{say("dose.care.equipment")}</p>
    </Dialog>
  );
}

interface RuleForm {
  apart: boolean;
  dilute: boolean;
  perKg: string;
  strength: string;
  source: string;
  reason: string;
}

/** The form as the rule that stands would fill it; its reason is said anew. */
function filled(r: DoseRule | undefined): RuleForm {
  const dilute = r !== undefined && r.perKgUg > 0;
  return {
    apart: r?.apart ?? false,
    dilute,
    perKg: dilute ? mg(r.perKgUg) : "",
    strength: dilute ? writeDecimal(r.strength, 2) : "",
    source: r?.source ?? "",
    reason: "",
  };
}

function Tick({ label, on, onChange }: { label: string; on: boolean; onChange: (on: boolean) => void }): JSX.Element {
  return (
    <label class="tick">
      <input type="checkbox" checked={on} onChange={(e) => onChange(e.currentTarget.checked)} />
      <span>{label}</span>
    </label>
  );
}
