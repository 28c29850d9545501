// A punch set-up drawn and told: one attempt to scale, the punch beside the
// skin's dense top layer, and the same in words with what follows from it.
import type { JSX } from "preact";
import type { Ref, Setup, Step } from "../../bridge/protocol.gen";
import { mm, mm2, mmPerS } from "../parts/per";
import type { Room } from "../parts/room";
import { count, say } from "../parts/say";
import { Figure } from "../parts/where";
import { Cycle, MotionGlyph } from "./cycle";
import { Skin } from "./skin";

interface DrawingProps {
  room: Room;
  of: Setup;
  fullMs?: number; // how long the picture is, so that several compare
}

export function Drawing({ room, of, fullMs }: DrawingProps): JSX.Element {
  return (
    <div class="setup-drawn">
      <div class="setup-pictures">
        <Cycle of={of.derived} {...(fullMs === undefined ? {} : { fullMs })} />
        <Skin diameterUm={of.diameterUm} />
      </div>
      <div class="setup-words">
        <Steps room={room} of={of} />
        <Facts room={room} of={of} />
      </div>
    </div>
  );
}

/** A figure that says where it comes from: of a set-up in the session with its numbers, of a draft by its definition. */
function From({ room, at, children }: { room: Room; at: Ref; children: string }): JSX.Element {
  if (at !== "")
    return (
      <Figure room={room} of="setup" at={at} alone>
        {children}
      </Figure>
    );
  return (
    <a class="asked alone" href="/figures#setup" target="_blank" rel="noreferrer" aria-label={say("page.where", { what: children })}>
      <bdi>{children}</bdi>
    </a>
  );
}

/** What one step is, in words. */
const stepWords = (s: Step): string =>
  [
    say("punch.ms", { n: s.ms }),
    s.powerPercent > 0 ? say("punch.power", { n: s.powerPercent }) : say("punch.noPower"),
    s.arcDeg > 0 ? say("punch.arc", { n: s.arcDeg }) : "",
    s.rpm > 0 ? say("punch.rpm", { n: s.rpm }) : "",
  ]
    .filter(Boolean)
    .join(" · ");

interface PartProps {
  room: Room;
  of: Setup;
}

/** Every step: its number in the picture, its texture, its word, its settings, and how the edge moves. */
function Steps({ room, of }: PartProps): JSX.Element {
  const { derived, ref: at } = of;
  return (
    <ol class="setup-steps" aria-label={say("punch.steps")}>
      {of.waitMs > 0 ? (
        <li>
          <b />
          <svg class="motion" width="30" height="24" aria-hidden="true">
            <rect class="cycle-wait" x="1" width="28" y="15" height="8" />
          </svg>
          <p>
            <span class="word">{say("punch.wait")}</span> <span class="quiet">{say("punch.ms", { n: of.waitMs })}</span>
          </p>
        </li>
      ) : null}
      {derived.steps.map((s, i) => (
        <li key={i}>
          <b>{count(i + 1)}</b>
          <MotionGlyph of={s.motion} />
          <p>
            <span class="word">{s.motion === "" ? "" : say(`punch.motion.${s.motion}`)}</span> <span class="quiet">{stepWords(s)}</span>
          </p>
          {s.rimUmPerS > 0 || s.strokeUm > 0 ? (
            <p class="edge-moves">
              {s.rimUmPerS > 0 ? (
                <From room={room} at={at}>
                  {say("punch.rim", { n: mmPerS(s.rimUmPerS) })}
                </From>
              ) : null}
              {s.strokeUm > 0 ? (
                <From room={room} at={at}>
                  {say("punch.stroke", { n: mm(s.strokeUm) })}
                </From>
              ) : null}
            </p>
          ) : null}
        </li>
      ))}
    </ol>
  );
}

/** What follows from all steps, and from the diameter. */
function Facts({ room, of: { derived, edge, ref: at } }: PartProps): JSX.Element {
  return (
    <dl class="setup-facts">
      <dt>{say("punch.cycle")}</dt>
      <dd>
        <From room={room} at={at}>
          {say("punch.ms", { n: derived.cycleMs })}
        </From>
      </dd>
      <dt class="quiet">{say("punch.usualIs", { low: derived.commonLowMs, high: derived.commonHighMs })}</dt>
      <dd class="quiet">
        {say(derived.common ? "punch.within" : derived.cycleMs < derived.commonLowMs ? "punch.shorter" : "punch.longer")}
      </dd>
      <dt>{say("punch.wound")}</dt>
      <dd>
        <From room={room} at={at}>
          {say("punch.mm2", { n: mm2(derived.woundUm2) })}
        </From>
      </dd>
      {edge !== "" ? (
        <>
          <dt>{say("punch.edge")}</dt>
          <dd>{edge}</dd>
        </>
      ) : null}
    </dl>
  );
}
