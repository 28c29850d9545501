// An area: typed as cm², or worked out by the engine from two sides, two axes,
// or an outline on a photo.
import "./office-words";
import type { JSX } from "preact";
import { useEffect, useId, useRef, useState } from "preact/hooks";
import type { Fault, Shape } from "../../bridge/messages";
import { wholeNumber } from "./dialog";
import type { Room } from "./room";
import { say, sayFault } from "./say";
import { decimalsOf, writeDecimal } from "./units";

type Way = "rectangle" | "ellipse" | "outline";

/** What the engine says of a shape. */
export interface Measured {
  mm2: number;
  fault: Fault | null;
}

/** The area of a shape, asked for anew whenever it changes; null while there is none, or no answer. */
export function useArea(room: Room, shape: Shape | null): Measured | null {
  const [got, set] = useState<Measured | null>(null);
  const asked = useRef(0);
  const key = JSON.stringify(shape);
  useEffect(() => {
    const mine = ++asked.current;
    if (!shape) {
      set(null);
      return;
    }
    void room.area(shape).then((answer) => {
      if (mine === asked.current) set(answer);
    });
  }, [key, room]);
  return shape ? got : null;
}

interface AreaProps {
  room: Room;
  onArea: (cm2: string) => void;
}

const ways: readonly Way[] = ["rectangle", "ellipse", "outline"];

/** Ways to work an area out, folded away; the one that is used fills the field above. */
export function AreaWays({ room, onArea }: AreaProps): JSX.Element {
  const [way, setWay] = useState<Way | null>(null);
  const [Trace, setTrace] = useState<typeof import("./trace").Trace | null>(null);
  const [failed, setFailed] = useState(false);
  const choose = (one: Way): void => {
    setWay(way === one ? null : one);
    if (one === "outline" && !Trace)
      import("./trace").then(
        (part) => setTrace(() => part.Trace),
        () => setFailed(true),
      );
  };
  const use = (cm2: string): void => {
    onArea(cm2);
    setWay(null);
  };
  return (
    <div class="area-ways">
      <p>
        <span class="quiet">{say("area.or")}</span>
        {ways.map((one) => (
          <button key={one} type="button" class="o-link" aria-expanded={way === one} onClick={() => choose(one)}>
            {say(`area.${one}`)}
          </button>
        ))}
      </p>
      {(way === "rectangle" || way === "ellipse") && <Sides key={way} room={room} kind={way} onUse={use} />}
      {way === "outline" && (failed ? <p role="alert">{say("page.whereUnloaded")}</p> : Trace && <Trace room={room} onUse={use} />)}
    </div>
  );
}

interface SidesProps {
  room: Room;
  kind: "rectangle" | "ellipse";
  onUse: (cm2: string) => void;
}

/** Two sides, or two axes, in whole mm. */
function Sides({ room, kind, onUse }: SidesProps): JSX.Element {
  const [a, setA] = useState("");
  const [b, setB] = useState("");
  const sides = [wholeNumber(a), wholeNumber(b)] as const;
  const typed = a.trim() !== "" && b.trim() !== "";
  const shape: Shape | null = sides[0] !== null && sides[1] !== null ? { kind, mm: [sides[0], sides[1]] } : null;
  const got = useArea(room, shape);
  return (
    <div class="area-way">
      <div class="o-row">
        <Mm label={say(`area.${kind}-a`)} value={a} onInput={setA} />
        <Mm label={say(`area.${kind}-b`)} value={b} onInput={setB} />
      </div>
      <Answer got={got} trouble={typed && !shape ? say("area.whole") : ""} onUse={onUse} />
    </div>
  );
}

/** A length in whole mm. */
export function Mm({ label, value, onInput }: { label: string; value: string; onInput: (value: string) => void }): JSX.Element {
  const id = useId();
  return (
    <div class="o-field o-short">
      <label for={id}>{label}</label>
      <span class="o-box">
        <input id={id} value={value} inputMode="numeric" autocomplete="off" onInput={(e) => onInput(e.currentTarget.value)} />
        <span class="quiet">mm</span>
      </span>
    </div>
  );
}

interface AnswerProps {
  got: Measured | null;
  trouble: string; // what is missing before the engine can be asked
  onUse: (cm2: string) => void;
}

/** The area, or why there is none, and a button that takes it. */
export function Answer({ got, trouble, onUse }: AnswerProps): JSX.Element {
  const cm2 = got && !got.fault ? writeDecimal(got.mm2, decimalsOf.area) : "";
  return (
    <div class="area-answer">
      <p role="status">
        {cm2 !== "" ? (
          <>
            <b>{cm2}</b> cm²
          </>
        ) : (
          <span class={got?.fault ? "o-asks" : "quiet"}>{got?.fault ? sayFault(got.fault) : trouble}</span>
        )}
      </p>
      <button type="button" class="do" disabled={cm2 === ""} onClick={() => onUse(cm2)}>
        {say("area.use")}
      </button>
    </div>
  );
}
