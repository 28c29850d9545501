// The steps to a phone that can be trusted with counts: each says what was
// found, and the first that is missing says how to do it on this phone.
import type { JSX } from "preact";
import { duration } from "../parts/duration";
import { type Key, say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { type Found, install } from "./checks";
import { type Place, Touch } from "./touch";

/** One thing to do, and where on the phone. */
interface How {
  words: Key;
  at: Place;
}

interface Step {
  title: Key;
  state: "done" | "now" | "later"; // there, asked for, or able to wait
  words: string;
  how?: readonly How[];
}

const onIphone: readonly How[] = [
  { words: "join.share", at: "foot" },
  { words: "join.add", at: "list" },
  { words: "join.icon", at: "home" },
];
const onAndroid: readonly How[] = [
  { words: "join.dots", at: "top" },
  { words: "join.install", at: "list" },
  { words: "join.icon", at: "home" },
];

function addressStep({ safe }: Found): Step {
  if (!safe) return { title: "join.unsafe", state: "now", words: say("join.plain") };
  return { title: "join.address", state: "done", words: say(location.protocol === "https:" ? "join.addressYes" : "join.addressHere") };
}

function pagesStep({ safe, pages }: Found): Step {
  const title = "join.offline";
  if (pages === "kept") return { title, state: "done", words: say("join.offlineYes") };
  if (!safe) return { title, state: "later", words: say("join.offlinePlain") };
  if (pages === "coming") return { title, state: "later", words: say("join.offlineWait") };
  return { title, state: "now", words: say(pages === "failed" ? "join.offlineFailed" : "join.offlineNo") };
}

function storageStep({ storage }: Found): Step {
  const title = "join.keeps";
  switch (storage) {
    case "asking":
      return { title, state: "later", words: say("join.looking") };
    case "none":
      return { title, state: "now", words: say("join.keepsNo") };
    case "firm":
      return { title, state: "done", words: say("join.keepsFirm") };
    case "kept":
      return { title, state: "done", words: say("join.keepsYes") };
    default:
      return storage satisfies never;
  }
}

/** The home screen: first on an iPhone, whose icon keeps storage of its own; elsewhere it can wait. At a plain address it brings nothing. */
function homeStep({ kind, safe, onHome }: Found): Step | null {
  const title = "join.home";
  if (kind === "computer" || !safe) return null;
  if (onHome) return { title, state: "done", words: say("join.homeYes") };
  if (kind === "iphone") return { title: "join.homeFirst", state: "now", words: say("join.homeIphone"), how: onIphone };
  return { title, state: "later", words: say("join.homeAndroid"), how: onAndroid };
}

const farMs = 60_000; // what the room's order of entries can follow
const minuteMs = 60_000;

function clockStep({ room, clockMs }: Found): Step {
  const title = "join.clock";
  if (room !== "there") return { title, state: "later", words: say(room === "away" ? "join.clockLater" : "join.looking") };
  const off = Math.abs(clockMs);
  if (off <= farMs) return { title, state: "done", words: say("join.clockYes") };
  const time = duration(Math.round(off / minuteMs));
  return { title: "join.clockFar", state: "now", words: say(clockMs > 0 ? "join.clockAhead" : "join.clockBehind", { time }) };
}

/** The steps in order; one more fits between any two. */
const stepsOf = (found: Found): Step[] =>
  [addressStep(found), pagesStep(found), storageStep(found), homeStep(found), clockStep(found)].filter((s) => s !== null);

/** Whether this phone is to be put on the home screen before it joins. */
export const homeFirst = ({ kind, safe, onHome }: Found): boolean => kind === "iphone" && safe && !onHome;

const glyphs = { done: "inroom", now: "ask", later: "todo" } as const;

/** All steps, and how many are done. */
export function Steps({ found }: { found: Found }): JSX.Element {
  const steps = stepsOf(found);
  const first = steps.find((s) => s.state === "now");
  return (
    <>
      <ol class="steps">
        {steps.map((s) => (
          <li key={s.title} class={s.state}>
            <Glyph of={glyphs[s.state]} />
            <div>
              <h2>{say(s.title)}</h2>
              <p>{s.words}</p>
              {s.how && s === first ? <HowTo of={s.how} /> : null}
              {s.how && s.state === "later" ? <WhenThereIsTime of={s.how} /> : null}
            </div>
          </li>
        ))}
      </ol>
      <p class="quiet looks">{say("join.again", { n: steps.filter((s) => s.state === "done").length, of: steps.length })}</p>
    </>
  );
}

/** What to do one after the other, with pictures. */
function HowTo({ of }: { of: readonly How[] }): JSX.Element {
  return (
    <ol class="how">
      {of.map(({ words, at }) => (
        <li key={words}>
          <Touch at={at} />
          <p>{say(words)}</p>
        </li>
      ))}
    </ol>
  );
}

/** What can wait stays folded; where the browser asks by itself one button is enough. */
function WhenThereIsTime({ of }: { of: readonly How[] }): JSX.Element {
  const ask = install();
  if (ask)
    return (
      <button type="button" class="do" onClick={() => void ask()}>
        {say("join.homeDo")}
      </button>
    );
  return (
    <details>
      <summary>{say("join.how")}</summary>
      <HowTo of={of} />
    </details>
  );
}
