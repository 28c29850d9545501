// The fields of one step: only those that its motion can have.
import "../parts/punch-words";
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { say } from "../parts/say";
import { MotionGlyph } from "../punch/cycle";
import { Field } from "./field";
import type { Errors, Line } from "./setup-typed";

const motions = ["rotation", "oscillation", "vibration"] as const;

interface StepProps {
  of: Line;
  at: number;
  last: number;
  errors: Errors;
  onChange: (line: Line) => void;
  onMove: (to: number) => void;
  onRemove: () => void;
}

/** A step. Alt with the arrows moves it, from any of its fields. */
export function StepFields({ of, at, last, errors, onChange, onMove, onRemove }: StepProps): JSX.Element {
  const id = useId();
  const n = at + 1;
  const field = (name: "ms" | "power" | "arc" | "rpm", label: string, unit: string): JSX.Element => (
    <Field
      label={label}
      numeric
      unit={unit}
      value={of[name]}
      error={errors[`${at}.${name}`]}
      onInput={(value) => onChange({ ...of, [name]: value })}
    />
  );
  const keys = (e: KeyboardEvent): void => {
    const to = e.altKey && e.key === "ArrowUp" ? at - 1 : e.altKey && e.key === "ArrowDown" ? at + 1 : at;
    if (to === at) return;
    e.preventDefault();
    onMove(to);
  };
  return (
    <li data-step={of.key}>
      <fieldset onKeyDown={keys}>
        <legend>{say("punch.step", { n })}</legend>
        <div class="setup-fields">
          <div class="o-field">
            <label for={id}>{say("punch.motion")}</label>
            <span class="o-box">
              <MotionGlyph of={of.motion} />
              <select
                id={id}
                value={of.motion}
                onChange={(e) => onChange({ ...of, motion: motions[e.currentTarget.selectedIndex] ?? "rotation" })}
              >
                {motions.map((m) => (
                  <option key={m} value={m}>
                    {say(`punch.motion.${m}`)}
                  </option>
                ))}
              </select>
            </span>
          </div>
          {field("ms", say("punch.lasts"), "ms")}
          {field("power", say("punch.power-of"), "%")}
          {of.motion === "oscillation" ? field("arc", say("punch.arc-of"), "°") : null}
          {of.motion === "vibration" ? null : field("rpm", say("punch.rpm-of"), say("punch.per-min"))}
        </div>
        <p class="o-acts">
          <button
            type="button"
            class="o-link"
            disabled={at === 0}
            aria-label={say("punch.earlier-what", { n })}
            onClick={() => onMove(at - 1)}
          >
            {say("punch.earlier")}
          </button>
          <button
            type="button"
            class="o-link"
            disabled={at === last}
            aria-label={say("punch.later-what", { n })}
            onClick={() => onMove(at + 1)}
          >
            {say("punch.later")}
          </button>
          <button type="button" class="o-link" disabled={last === 0} aria-label={say("punch.remove-what", { n })} onClick={onRemove}>
            {say("punch.remove")}
          </button>
        </p>
      </fieldset>
    </li>
  );
}
