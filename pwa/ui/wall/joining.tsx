// How phones come in: the code to point a camera at, the code to type, the
// address, and who is here.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { RoomNow } from "../../bridge/messages";
import type { Phone, View } from "../../bridge/protocol.gen";
import { originFor } from "../parts/origin";
import { count, type Key, list, say } from "../parts/say";
import { Fit } from "./fit";
import { Head } from "./frame";
import { Said } from "./said";
import type { Sheet } from "./sheet";
import { Strokes } from "./strokes";

const wholeHigh = 1000; // units of a sheet that has room for all of it

interface Join {
  now: RoomNow;
  view: View;
  label: string;
  practice: boolean;
  sheet: Sheet;
}

/** On a small sheet who is here and the steps leave, then the words at the code, then the address; the code for cameras gets smaller. */
export function Joining({ now, view, label, practice, sheet }: Join): JSX.Element {
  const here = view.phones.filter((p) => !p.left && p.person !== "" && p.station !== "office");
  const { origin, reached } = originFor(now);
  const steps: Key[] = [reached ? "wall.join-1" : "wall.join-local", "wall.join-2", "wall.join-3"];
  const how = (shown: readonly Key[], address: boolean, whole: boolean): JSX.Element => (
    <>
      {shown.length > 0 ? (
        <ol>
          {shown.map((key, i) => (
            <li key={key} class={key === "wall.join-local" ? "w-asking" : ""}>
              <b>{i + 1}</b>
              <span>{say(key)}</span>
            </li>
          ))}
        </ol>
      ) : null}
      <Address address={address ? origin : ""} code={now.code} words={whole} />
      {shown.length === steps.length ? <Here phones={here} /> : null}
    </>
  );
  return (
    <>
      <Head head="wall.join" label={label} practice={practice} />
      <section class={sheet.high < wholeHigh ? "w-join w-little" : "w-join"}>
        <Picture address={`${origin}/join/${now.code}`} />
        <Fit
          className="w-how"
          of={JSON.stringify([origin, reached, now.code, here.map((p) => p.person)])}
          choices={[
            () => how(steps, true, true),
            () => how(reached ? [] : steps.slice(0, 1), true, true),
            () => how([], true, false),
            () => how([], false, false),
          ]}
        />
      </section>
    </>
  );
}

/** The code for cameras; without it the address beside it is enough. */
function Picture({ address }: { address: string }): JSX.Element | null {
  const [failed, fail] = useState("");
  if (failed === address) return null;
  return (
    <figure data-theme="light">
      <img src={`/qr.svg?text=${encodeURIComponent(address)}`} alt={say("wall.qr", { address })} onError={() => fail(address)} />
    </figure>
  );
}

function Address({ address, code, words }: { address: string; code: string; words: boolean }): JSX.Element {
  const line = (words: boolean, narrow: boolean): JSX.Element => (
    <p class={narrow ? "w-narrow" : ""}>
      {words && <span class="quiet">{say("wall.or-open")} </span>}
      <span class="w-address">{address}</span>
    </p>
  );
  return (
    <div class="w-typed">
      {address === "" ? null : (
        <Fit
          className="w-line"
          of={`${address} ${words}`}
          choices={[() => line(true, false), () => line(false, false), () => line(false, true)]}
        />
      )}
      {words ? <p class="quiet">{say("wall.code")}</p> : null}
      <p class="w-code">
        <bdi dir="ltr">{code.slice(0, 4)}</bdi> <bdi dir="ltr">{code.slice(4)}</bdi>
      </p>
    </div>
  );
}

/** Who is here. Names leave first. */
function Here({ phones }: { phones: Phone[] }): JSX.Element {
  if (phones.length === 0) return <p class="w-here quiet">{say("wall.nobody")}</p>;
  const names = list(phones.map((p) => p.person));
  const row = (named: boolean, drawn: boolean): JSX.Element => (
    <>
      {drawn && <Strokes here={phones.length} away={0} />}
      <span>
        <Said of="wall.here" with={{ n: count(phones.length) }} />
        {named && <span class="quiet"> {names}</span>}
      </span>
    </>
  );
  return (
    <Fit
      className="w-here"
      of={`${phones.length} ${names}`}
      choices={[() => row(true, true), () => row(true, false), () => row(false, true), () => row(false, false)]}
    />
  );
}
