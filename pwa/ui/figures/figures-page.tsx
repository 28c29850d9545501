// How each figure is computed: every definition, formula and source on one page
// that can be printed. The words are those of the sheet behind a figure.
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import type { Figure } from "../../bridge/protocol.gen";
import { figures, ofFigure, sayOf } from "../parts/figure-words";
import { runs } from "../parts/runs";
import { say } from "../parts/say";
import { Mark } from "../parts/strokes";

type Asked = Exclude<Figure, "">;

/** The chapters, and the figures of each. */
const chapters: readonly (readonly [string, readonly Asked[]])[] = [
  ["left", ["to take", "stop at", "attempts", "donor left", "usable", "on the way", "yield", "kept"]],
  ["plan", ["budget", "need", "capacity", "share", "residual"]],
  ["taking", ["attempted", "pending", "out", "buried", "counter"]],
  ["grafts", ["bench", "sorted", "holding", "dish", "mix", "hairs"]],
  ["placing", ["sites", "placed"]],
  ["pace", ["pace taking", "pace sorting", "pace sites", "pace placing"]],
  ["trial", ["setup", "not whole", "trial", "turn"]],
  ["out", ["time out", "longest out", "oldest out", "wait ahead"]],
];

const inChapters = new Set(chapters.flatMap(([, of]) => of));
/** What no chapter has yet: it must not be missing. */
const others = figures.filter((f) => !inChapters.has(f));

const idOf = (name: string): string => name.replace(/ /g, "-");

export function FiguresPage(): JSX.Element {
  useEffect(() => runs(false), []);
  useEffect(() => {
    document.title = sayOf("figures.title");
    document.getElementById(location.hash.slice(1))?.scrollIntoView(); // the browser looked before it was there
  }, []);
  const all = others.length > 0 ? [...chapters, ["others", others] as const] : chapters;
  return (
    <div class="f-page">
      <header>
        <Mark />
        <h1>{sayOf("figures.title")}</h1>
        <p class="f-lead">{sayOf("figures.lead")}</p>
      </header>
      <Care />
      <nav class="f-nav" aria-label={sayOf("figures.contents")}>
        <ul>
          {[...all.map(([name]) => name), "apart", "days"].map((name) => (
            <li key={name}>
              <a href={`#chapter-${name}`}>{sayOf(`figures.chapter.${name}`)}</a>
            </li>
          ))}
        </ul>
      </nav>
      <main>
        {all.map(([name, of]) => (
          <section key={name} class="f-chapter" id={`chapter-${name}`}>
            <h2>{sayOf(`figures.chapter.${name}`)}</h2>
            {of.map((f) => (
              <One key={f} of={f} />
            ))}
          </section>
        ))}
        <Apart />
        <Days />
      </main>
    </div>
  );
}

/** The cautions come first. */
function Care(): JSX.Element {
  return (
    <section class="f-care" aria-labelledby="care">
      <h2 id="care">{sayOf("figures.chapter.care")}</h2>
      <p>
        <b>{say("care")}</b>
      </p>
      <ul>
        {["match", "bound", "people", "round", "seen"].map((one) => (
          <li key={one}>{sayOf(`figures.care.${one}`)}</li>
        ))}
      </ul>
    </section>
  );
}

function One({ of }: { of: Asked }): JSX.Element {
  const check = ofFigure("figureCheck", of);
  return (
    <article class="f-one" id={idOf(of)}>
      <h3>{ofFigure("figure", of)}</h3>
      <p>{ofFigure("figureIs", of)}</p>
      <dl>
        <dt>{sayOf("where.how")}</dt>
        <dd>{ofFigure("figureBy", of)}</dd>
        <dt>{sayOf("where.from")}</dt>
        <dd>{ofFigure("figureFrom", of)}</dd>
        {check !== "" && (
          <>
            <dt>{sayOf("figures.check")}</dt>
            <dd>{check}</dd>
          </>
        )}
      </dl>
    </article>
  );
}

/** What becomes of two tallies that do not agree, and what published counting shows. */
function Apart(): JSX.Element {
  return (
    <section class="f-chapter" id="chapter-apart">
      <h2>{sayOf("figures.chapter.apart")}</h2>
      <p>{sayOf("figures.apart.opens")}</p>
      <p>{sayOf("figures.apart.closes")}</p>
      <ul class="f-list">
        {["greenberg", "egorova", "morrison", "barchard", "barchard2", "aorn"].map((one) => (
          <li key={one}>{sayOf(`figures.apart.${one}`)}</li>
        ))}
      </ul>
    </section>
  );
}

/** Three small days that tests play. */
function Days(): JSX.Element {
  return (
    <section class="f-chapter" id="chapter-days">
      <h2>{sayOf("figures.chapter.days")}</h2>
      <p>{sayOf("figures.days")}</p>
      <dl class="f-days">
        {["a", "b", "c"].map((day) => (
          <div key={day}>
            <dt>{sayOf(`figures.day.${day}`)}</dt>
            <dd>{sayOf(`figures.dayIs.${day}`)}</dd>
            <dd>{sayOf(`figures.dayGives.${day}`)}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}
