// A dose that is not kept yet: what it is, what it would make, and its question.
import "../parts/dose-words";
import type { JSX } from "preact";
import type { DoseAgent, View, Weighed } from "../../bridge/protocol.gen";
import { shareOfAll } from "../parts/dose-share";
import { groupName, mg, shareWords } from "../parts/doses";
import { per } from "../parts/per";
import { say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { writeDecimal } from "../parts/units";
import type { Draft } from "./dose-sheet";
import { Doubts } from "./doubts";

/** While the volume is typed: how much it is, and what it makes of the limits. */
export function Live({ of: w }: { of: Weighed | null }): JSX.Element {
  return (
    <p class={`live is-${w?.state ?? ""}`} role="status">
      {w ? (
        <>
          <b>{say("dose.mg", { n: mg(w.ug) })}</b>{" "}
          <span>
            {w.unknown ? say("dose.noLimit") : say("dose.withIt", { n: shareOfAll(w) })}
            {w.unweighed && !w.unknown ? `, ${say("dose.unweighed")}` : ""}
          </span>
        </>
      ) : null}
    </p>
  );
}

interface LookProps {
  view: View;
  agent: DoseAgent;
  draft: Draft;
  weighed: Weighed;
  busy: boolean;
  onDraft: (next: Draft) => void;
  onKeep: (asked: boolean) => void;
  onChange: () => void;
}

export function DoseLook({ view, agent, draft, weighed: w, busy, onDraft, onKeep, onChange }: LookProps): JSX.Element {
  const rule = view.doses.rules.find((r) => r.substance === agent.substance);
  return (
    <>
      <p class="stood">
        <bdi>{say("dose.mg", { n: mg(w.ug) })}</bdi>
      </p>
      <p>
        {say("dose.isVolume", { n: mg(draft.volumeUl ?? 0) })}
        {w.vasoconstrictorNg > 0 ? `, ${say("dose.holdsUg", { n: writeDecimal(w.vasoconstrictorNg, 3) })}` : ""}
      </p>
      <ul class="would">
        {w.groups.map((g) => (
          <li key={`${groupName(g)}${g.ref}`} class={`is-${g.state}`}>
            <span>{groupName(g)}</span>
            <b>
              {g.limitUg > 0 && g.dailyUg === 0
                ? say("dose.ofLimit", { n: mg(g.ug), limit: mg(g.limitUg) })
                : say("dose.mg", { n: mg(g.ug) })}
            </b>
            <span class="quiet">{g.limitUg > 0 ? shareWords(g) : say("dose.noLimit")}</span>
          </li>
        ))}
      </ul>
      {w.groups.length > 1 ? <p>{say("dose.together", { n: per(w.parts, 10_000) })}</p> : null}
      {w.state === "past" ? (
        <p class="limit">
          <Glyph of="past" />
          {say("dose.pastWith")}
        </p>
      ) : null}
      <label class="field">
        <span>{say("dose.site")}</span>
        <input
          value={draft.site ?? ""}
          maxLength={80}
          autoComplete="off"
          onInput={(e) => onDraft({ ...draft, site: e.currentTarget.value })}
        />
      </label>
      <label class="tick">
        <input type="checkbox" checked={draft.earlier ?? false} onChange={(e) => onDraft({ ...draft, earlier: e.currentTarget.checked })} />
        <span>{say("dose.earlier")}</span>
      </label>
      {rule && rule.perKgUg > 0 ? (
        <label class="tick">
          <input
            type="checkbox"
            checked={draft.tumescent ?? false}
            onChange={(e) => onDraft({ ...draft, tumescent: e.currentTarget.checked })}
          />
          <span>{say("dose.diluteTick")}</span>
        </label>
      ) : null}
      {w.doubts.length > 0 ? (
        <Doubts of={w.doubts} busy={busy} onKeep={() => onKeep(true)} onChange={onChange} />
      ) : (
        <div class="acts">
          <button type="button" class="do" onClick={onChange}>
            {say("dose.changeVolume")}
          </button>
          <button type="button" class="do first" disabled={busy} onClick={() => onKeep(false)}>
            {say("dose.keep")}
          </button>
        </div>
      )}
      <p class="quiet">{say("dose.care.label")}</p>
    </>
  );
}
