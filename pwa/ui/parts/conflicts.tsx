// Values of the plan that were set apart: all that stand, which one counts until
// somebody chooses, and choosing.
import "./lead-words";
import type { JSX } from "preact";
import { useRef, useState } from "preact/hooks";
import type { Conflict, Fact, Value, View } from "../../bridge/protocol.gen";
import { duration } from "./duration";
import { keptOf } from "./keeping";
import { per } from "./per";
import type { Room } from "./room";
import { clock, say, sayFault, type Under } from "./say";
import { Glyph, SizeGlyph } from "./strokes";
import { decimalsOf, writeDecimal } from "./units";

/**
 * The fact that chooses a value. It replaces the values that were on the screen,
 * so one that comes in meanwhile still stands; when not all are listed, all that
 * stand. The label stays, for the newest is everyone's.
 */
function factOf(c: Conflict, v: Value): Fact {
  const supersedes = c.standing > c.values.length ? {} : { supersedes: c.values.map((one) => one.ref) };
  const { areaMm2, density10, mixPerMille, today, sharePerMille, harvested, hairsPerUnit100 } = v;
  switch (c.kind) {
    case "budget":
      return { kind: "budget", grafts: v.figure, reason: v.reason, ...supersedes };
    case "yield":
      return { kind: "yield", perMille: v.figure, ...supersedes };
    case "floor":
      return { kind: "floor", hairsPerCm2x10: v.figure, ...supersedes };
    case "watch":
      return { kind: "watch", p0Parts: v.p0Parts, p1Parts: v.p1Parts, h100: v.figure, ...supersedes };
    case "keeping": {
      const { redMin, placingMs, perHour10, solution, temperature10, temperatureKnown } = v;
      return {
        kind: "keeping",
        amberMin: v.figure,
        redMin,
        placingMs,
        perHour10,
        solution,
        temperature10,
        temperatureKnown,
        ...supersedes,
      };
    }
    case "zone":
      return { kind: "zone", of: c.of, name: c.name, areaMm2, density10, mixPerMille, ...supersedes };
    default: {
      const { of, code, name } = c;
      return { kind: "region", of, code, name, areaMm2, density10, today, sharePerMille, harvested, hairsPerUnit100, ...supersedes };
    }
  }
}

/** What a conflict is about. */
const thingOf = (c: Conflict): string =>
  say(`stand.${c.kind}` as "stand.budget" | "stand.zone" | "stand.region", { code: c.code, name: c.name });

/** A value's figure in words, for instance "2,200 grafts". */
const figureOf = (c: Conflict, v: Value): string =>
  say(`standFigure.${c.kind}` as Under<"standFigure.">, {
    n: decimals(c) > 0 ? writeDecimal(v.figure, decimals(c)) : c.kind === "keeping" ? duration(v.figure) : v.figure,
  });

/** The decimals of a conflict's figure: of a per cent, of a hair, of a sum. */
const decimals = (c: Conflict): number => (c.kind === "watch" ? decimalsOf.watch : c.kind === "yield" || c.kind === "floor" ? 1 : 0);

interface ConflictsProps {
  room: Room;
  view: View;
}

/** What was chosen last, and the place of its card among the others. */
interface Chosen {
  words: string;
  at: number;
}

const breathMs = 700; // after a choice the next card lies under the same finger

/** Every conflict as a card; where the last one was chosen, the choice is said. */
export function Conflicts({ room, view }: ConflictsProps): JSX.Element {
  const [chosen, setChosen] = useState<Chosen>({ words: "", at: 0 });
  const [busy, setBusy] = useState(false);
  const status = useRef<HTMLParagraphElement>(null);
  const choose = async (c: Conflict, v: Value): Promise<string> => {
    setBusy(true);
    const at = view.conflicts.indexOf(c);
    const { fault } = await room.tap(factOf(c, v));
    if (!fault) {
      setChosen({ words: say("stand.chosen", { thing: thingOf(c), figure: figureOf(c, v) }), at });
      status.current?.focus({ preventScroll: true });
    }
    setTimeout(() => setBusy(false), fault ? 0 : breathMs);
    return fault ? sayFault(fault) : "";
  };
  const cards = view.conflicts.map((c) => <Card key={`${c.kind}${c.of}`} of={c} busy={busy} onChoose={(v) => choose(c, v)} />);
  return (
    <>
      {cards.slice(0, chosen.at)}
      <p key="chosen" ref={status} class={chosen.words === "" ? "off" : "chosen"} role="status" tabIndex={-1}>
        {chosen.words}
      </p>
      {cards.slice(chosen.at)}
    </>
  );
}

interface CardProps {
  of: Conflict;
  busy: boolean;
  onChoose: (v: Value) => Promise<string>; // what went wrong
}

function Card({ of: c, busy, onChoose }: CardProps): JSX.Element {
  const [wrong, setWrong] = useState("");
  const more = c.standing - c.values.length;
  return (
    <section class="stand">
      <div class="ask">
        <Glyph of="ask" />
        <h2>{say("stand.title", { thing: thingOf(c), n: c.standing })}</h2>
        <p>{say(`standWhy.${c.kind}` as Under<"standWhy.">)}</p>
      </div>
      <ul>
        {c.values.map((v, i) => (
          <li key={v.ref} class={i === 0 ? "on" : ""}>
            <Described of={c} value={v} counts={i === 0} />
            <button type="button" class="do" disabled={busy} onClick={() => void onChoose(v).then(setWrong)}>
              {say("stand.choose")}
              <span class="off">
                {" "}
                {thingOf(c)}: {figureOf(c, v)}, {byOf(v)}
              </span>
            </button>
          </li>
        ))}
      </ul>
      {more > 0 && <p class="quiet">{say("stand.more", { n: more })}</p>}
      {wrong !== "" && (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      )}
    </section>
  );
}

/** Who set a value, and when. */
const byOf = (v: Value): string => say(v.person === "" ? "stand.byNobody" : "stand.by", { person: v.person, time: clock(v.atMs) });

function Described({ of: c, value: v, counts }: { of: Conflict; value: Value; counts: boolean }): JSX.Element {
  return (
    <div>
      <p>
        <bdi>
          <b>{figureOf(c, v)}</b>
        </bdi>
      </p>
      <Fields of={c} value={v} />
      <p class="quiet">
        {counts && <span class="counts">{say("stand.counts")} · </span>}
        {byOf(v)}
      </p>
    </div>
  );
}

/** What a value is made of, beside its figure. */
function Fields({ of: c, value: v }: { of: Conflict; value: Value }): JSX.Element | null {
  const ground = {
    area: writeDecimal(v.areaMm2, decimalsOf.area),
    density: writeDecimal(v.density10, decimalsOf.density),
  };
  switch (c.kind) {
    case "keeping":
      return <p>{[say("stand.red", { n: duration(v.redMin) }), ...keptOf(v)].join(" ")}</p>;
    case "budget":
      return v.reason === "" ? null : <p>{say("stand.reason", { reason: v.reason })}</p>;
    case "zone":
      return (
        <>
          <p>{say("stand.ground", ground)}</p>
          <p class="mix">
            {v.mixPerMille.map((share, i) =>
              share === 0 ? null : (
                <span key={i}>
                  <SizeGlyph size={i + 1} />
                  <span class="off">{say(`size.${i + 1}` as Under<"size.">)}</span> {writeDecimal(share, decimalsOf.percent)} %
                </span>
              ),
            )}
          </p>
        </>
      );
    case "region":
      return (
        <>
          <p>{say(v.today ? "stand.groundToday" : "stand.ground", ground)}</p>
          <p>
            {say("stand.share", { share: writeDecimal(v.sharePerMille, decimalsOf.percent) })}
            {v.harvested > 0 && `, ${say("stand.before", { n: v.harvested })}`}
          </p>
          {c.values.some((one) => one.hairsPerUnit100 !== v.hairsPerUnit100) && (
            <p>
              {say("stand.hairs", {
                n: v.hairsPerUnit100 === 0 ? say("stand.unknown") : writeDecimal(v.hairsPerUnit100, decimalsOf.hairs),
              })}
            </p>
          )}
        </>
      );
    case "watch":
      return <p>{say("stand.watchShares", { usual: per(v.p0Parts, 10_000), notice: per(v.p1Parts, 10_000) })}</p>;
    default:
      return null;
  }
}
