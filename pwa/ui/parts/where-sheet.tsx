// Where a figure comes from: what it is, how, by which source, of which terms,
// and who counted it. Each term may be asked in turn.
import { type JSX, render } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Where } from "../../bridge/messages";
import type { Behind, Figure, Part, Term, View } from "../../bridge/protocol.gen";
import { Dialog } from "./dialog";
import { EntryGlyph, entryWords, StepMark } from "./entry";
import { agentOf, nameOf, ofDoses, ofFigure, sayOf, termFigure, termName } from "./figure-words";
import { type Room, useShown } from "./room";
import { clockSeconds, count, say, type Under } from "./say";
import { writeDecimal } from "./units";

type Told = { behind: Behind | null; steps: ("memory" | "phone" | "room")[]; mg?: boolean }; // mg: of doses, in µg

/** One figure that was asked about, and as what it stood there. */
interface Step {
  where: Where;
  stood: () => string; // as it stands now, where that can be seen
}

const listed = 20;

/** Opens the sheet over the page. It goes with its host when it is closed. */
export function openWhere(room: Room, where: Where, stood: () => string): void {
  const host = document.createElement("div");
  document.body.append(host);
  const close = (): void => {
    render(null, host);
    host.remove();
  };
  render(<WhereSheet room={room} first={{ where, stood }} onClose={close} />, host);
}

/** What a figure is called, and of what. */
function titleOf({ of, at, size }: Where, view: View | null): string {
  if (ofDoses(of)) return [ofFigure("figure", of as Exclude<Figure, "">), view ? agentOf(at, size, view) : ""].filter(Boolean).join(" · ");
  const place = view ? nameOf(at, view, size) : "";
  const arm = view?.trials.some((t) => t.ref === at) ?? false; // its number, not a unit size
  return [ofFigure("figure", of as Exclude<Figure, "">), place, size > 0 && !arm ? say(`size.${size}` as Under<"size.">) : ""]
    .filter(Boolean)
    .join(" · ");
}

interface SheetProps {
  room: Room;
  first: Step;
  onClose: () => void;
}

/** The sheet: one figure at a time, with the way back. */
export function WhereSheet({ room, first, onClose }: SheetProps): JSX.Element {
  const [way, setWay] = useState<Step[]>([first]);
  const [told, setTold] = useState<Told | null>(null);
  const [tries, setTries] = useState(0);
  const now = way.at(-1) ?? first;
  const before = way.at(-2);
  const { view } = useShown(room); // it is drawn anew with whatever is counted meanwhile
  useEffect(() => setTold(null), [now, tries]);
  useEffect(() => {
    let over = false;
    void room
      .behind(now.where, listed)
      .then((got) => !over && setTold(got ? { ...got, mg: ofDoses(now.where.of) } : { behind: null, steps: [] }));
    return () => {
      over = true;
    };
  }, [room, now, tries, view]);
  const deeper = (t: Term): void => setWay([...way, { where: { of: t.of, at: t.at, size: t.size }, stood: () => termFigure(t) }]);
  return (
    <Dialog title={titleOf(now.where, view)} onClose={onClose}>
      <div class="where-from">
        {before ? (
          <button type="button" class="do" onClick={() => setWay(way.slice(0, -1))}>
            {sayOf("where.back", { what: titleOf(before.where, view) })}
          </button>
        ) : null}
        <p class="stood">
          <bdi>{now.stood()}</bdi>
        </p>
        <Said of={now.where.of as Exclude<Figure, "">} />
        {!told ? <p role="status">{sayOf("where.loading")}</p> : null}
        {told && !(told.behind && view) ? <Stopped onAgain={() => setTries(tries + 1)} /> : null}
        {told?.behind && view ? <Made told={told} behind={told.behind} view={view} onDeeper={deeper} /> : null}
        <p>
          <a class="do" href={`/figures#${now.where.of.replace(/ /g, "-")}`} target="_blank" rel="noreferrer">
            {sayOf("where.all")}
          </a>
        </p>
      </div>
    </Dialog>
  );
}

/** What a figure is, how it is worked out, and who says so. */
function Said({ of }: { of: Exclude<Figure, ""> }): JSX.Element {
  return (
    <>
      <p>{ofFigure("figureIs", of)}</p>
      <dl>
        <dt>{sayOf("where.how")}</dt>
        <dd>{ofFigure("figureBy", of)}</dd>
        <dt>{sayOf("where.from")}</dt>
        <dd class="quiet">{ofFigure("figureFrom", of)}</dd>
      </dl>
    </>
  );
}

/** The worker that was asked has ended; another one has started. */
function Stopped({ onAgain }: { onAgain: () => void }): JSX.Element {
  return (
    <div role="alert">
      <p class="wrong">{sayOf("where.stopped")}</p>
      <button type="button" class="do" onClick={onAgain}>
        {sayOf("where.again")}
      </button>
    </div>
  );
}

function Made({ told, behind, view, onDeeper }: { told: Told; behind: Behind; view: View; onDeeper: (t: Term) => void }): JSX.Element {
  const counted = behind.entries.length > 0;
  return (
    <>
      {behind.terms.length > 0 ? <Terms of={behind.terms} view={view} onDeeper={onDeeper} /> : null}
      {behind.people.length > 0 ? <People of={behind.people} mg={told.mg} /> : null}
      {counted ? (
        <section>
          <h3>{sayOf("where.entries")}</h3>
          <ol class="entries">
            {behind.entries.map((e, i) => (
              <li key={e.ref}>
                <EntryGlyph of={e} />
                <div>
                  <span class="word">{entryWords(e, view, true)}</span>
                  <span class="when">
                    <time>{clockSeconds(e.atMs)}</time>
                    <span>{e.person || sayOf("where.nobody")}</span>
                    <StepMark step={told.steps[i] ?? "room"} />
                  </span>
                </div>
              </li>
            ))}
          </ol>
          {behind.more > 0 ? <p class="quiet">{sayOf("where.more", { n: count(behind.more) })}</p> : null}
        </section>
      ) : null}
      {!counted && behind.terms.length === 0 ? <p class="quiet">{sayOf("where.none")}</p> : null}
    </>
  );
}

/** The numbers that a figure is made of; a row that is one itself goes deeper. */
function Terms({ of, view, onDeeper }: { of: Term[]; view: View; onDeeper: (t: Term) => void }): JSX.Element {
  return (
    <section>
      <h3>{sayOf("where.made")}</h3>
      <table class="terms">
        <tbody>
          {of.map((t, i) => (
            <tr key={`${t.name}${t.at}${t.size}${i}`}>
              <th scope="row">{termName(t, view)}</th>
              <td>
                {t.of === "" ? (
                  <bdi>{termFigure(t)}</bdi>
                ) : (
                  <button
                    type="button"
                    class="asked alone"
                    aria-label={say("page.where", { what: `${termName(t, view)}: ${termFigure(t)}` })}
                    onClick={() => onDeeper(t)}
                  >
                    <bdi>{termFigure(t)}</bdi>
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function People({ of, mg = false }: { of: Part[]; mg?: boolean | undefined }): JSX.Element {
  const written = (n: number): string => (mg ? `${writeDecimal(n, 3)} mg` : count(n));
  const numbered = of.some((p) => p.plus !== 0 || p.minus !== 0); // a plan's entry adds nothing by itself
  return (
    <section>
      <h3>{sayOf("where.people")}</h3>
      <table class="terms">
        <thead>
          <tr>
            <th scope="col">{sayOf("where.person")}</th>
            {numbered && <th scope="col">{sayOf("where.added")}</th>}
            {numbered && <th scope="col">{sayOf("where.taken")}</th>}
            <th scope="col">{sayOf("where.entriesN")}</th>
          </tr>
        </thead>
        <tbody>
          {of.map((p) => (
            <tr key={`${p.station}${p.person}`}>
              <th scope="row">
                <span>{p.person || sayOf("where.nobody")}</span>{" "}
                <span class="quiet">{p.station === "" ? "" : say(`station.${p.station}` as Under<"station.">)}</span>
              </th>
              {numbered && <td>{written(p.plus)}</td>}
              {numbered && <td>{written(p.minus)}</td>}
              <td>{count(p.entries)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}
