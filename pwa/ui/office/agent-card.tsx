// Configuring an agent: its limits, the strengths it is sold in, and who says so;
// and entering the weight.
import "../parts/dose-words";
import type { JSX } from "preact";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { readDecimal } from "../parts/units";
import { Card } from "./card";
import { Field, Tick } from "./field";
import { tell, useForm } from "./form";

type Entry = "substance" | "epinephrine" | "perKg" | "cap" | "daily" | "strengths" | "source";

const owners = {
  substance: "substance",
  source: "source",
  "limit by weight": "perKg",
  limit: "cap",
  "daily limit": "daily",
  strength: "strengths",
} as const;

const decimals = 3;

/** A number that may be left out, as thousandths; null for what is none. */
const optional = (text: string): number | null => (text.trim() === "" ? 0 : readDecimal(text, decimals));

export function AgentCard({ room }: { room: Room }): JSX.Element {
  const empty: Record<Entry, string> = { substance: "", epinephrine: "", perKg: "", cap: "", daily: "", strengths: "", source: "" };
  const form = useForm<Entry>(empty);
  const v = form.values;
  const keep = async (): Promise<void> => {
    const kept = await form.run(async () => {
      const [perKgUg, capUg, dailyUg] = [optional(v.perKg), optional(v.cap), optional(v.daily)];
      const strengths = v.strengths
        .split(/[;\s]+/)
        .filter(Boolean)
        .map((s) => readDecimal(s, decimals));
      const no = say("dose.numberWrong");
      if (perKgUg === null) return { perKg: no };
      if (capUg === null) return { cap: no };
      if (dailyUg === null) return { daily: no };
      if (strengths.includes(null)) return { strengths: no };
      return tell<Entry>(
        room,
        {
          kind: "agent",
          substance: v.substance.trim().toLowerCase(),
          epinephrine: v.epinephrine !== "",
          perKgUg,
          capUg,
          dailyUg,
          strengths: strengths.filter((s) => s !== null),
          source: v.source.trim(),
        },
        owners,
        {},
      );
    });
    if (kept) form.fill(empty);
  };
  const line = (
    label: string,
    key: Exclude<Entry, "epinephrine">,
    more: { unit?: string; hint?: string; numeric?: boolean } = {},
  ): JSX.Element => <Field label={label} value={v[key]} error={form.errors[key]} onInput={form.type(key)} {...more} />;
  return (
    <Card
      title={say("dose.addAgent")}
      kept={form.kept}
      onKeep={() => void keep()}
      keep={say("dose.addAgent")}
      busy={form.busy}
      error={form.errors.form}
    >
      {line(say("dose.substance"), "substance", { hint: say("dose.substanceHint") })}
      <Tick label={say("dose.isWith")} on={v.epinephrine !== ""} onChange={(on) => form.type("epinephrine")(on ? "yes" : "")} />
      <div class="o-row">
        {line(say("dose.byWeight"), "perKg", { unit: "mg/kg", numeric: true })}
        {line(say("dose.oneDose"), "cap", { unit: "mg", numeric: true })}
        {line(say("dose.aDay"), "daily", { unit: "mg", numeric: true })}
      </div>
      {line(say("dose.sold"), "strengths", { unit: "%", hint: say("dose.soldHint") })}
      {line(say("dose.source"), "source", { hint: say("dose.sourceHint") })}
    </Card>
  );
}
