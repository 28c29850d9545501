// A zone's density from the hairs that are wanted there: the engine works out
// how many grafts that is, and the density that needs them.
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Wanted } from "../../bridge/messages";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { decimalsOf, readDecimal, writeDecimal } from "../parts/units";
import { Field } from "./field";

interface WantedProps {
  room: Room;
  area: string; // cm², as it is typed above
  onDensity: (perCm2: string) => void;
}

/** Folded away until it is asked for; what it works out fills the density above. */
export function DensityWanted(props: WantedProps): JSX.Element {
  const [open, setOpen] = useState(false);
  const use = (perCm2: string): void => {
    props.onDensity(perCm2);
    setOpen(false);
  };
  return (
    <div class="area-ways">
      <p>
        <button type="button" class="o-link" aria-expanded={open} onClick={() => setOpen(!open)}>
          {say("wanted.open")}
        </button>
      </p>
      {open ? <Form {...props} onDensity={use} /> : null}
    </div>
  );
}

type Answer = { grafts: number; density10: number } | { trouble: string } | null;

function Form({ room, area, onDensity }: WantedProps): JSX.Element {
  const [hairs, setHairs] = useState("");
  const [share, setShare] = useState("");
  const [perGraft, setPerGraft] = useState("");
  const [got, set] = useState<Answer>(null);
  const asked = useRef(0);
  const typed = {
    areaMm2: readDecimal(area, decimalsOf.area),
    hairs10: readDecimal(hairs, decimalsOf.density),
    sharePerMille: readDecimal(share, decimalsOf.percent),
    perGraft100: readDecimal(perGraft, decimalsOf.hairs),
  };
  const whole = Object.values(typed).every((n) => n !== null);
  const key = JSON.stringify(typed);
  useEffect(() => {
    const mine = ++asked.current;
    if (!whole) {
      set(null);
      return;
    }
    void room.hairsWanted(typed as Wanted).then((answer) => {
      if (mine !== asked.current || !answer) return;
      set(answer.fault ? { trouble: sayFault(answer.fault) } : answer);
    });
  }, [key, room]);
  const density = got && "grafts" in got ? writeDecimal(got.density10, decimalsOf.density) : "";
  return (
    <div class="area-way">
      <div class="o-row">
        <Field label={say("wanted.hairs")} numeric unit={say("office.per-cm2")} value={hairs} onInput={setHairs} />
        <Field label={say("wanted.share")} numeric unit="%" value={share} onInput={setShare} />
        <Field label={say("wanted.perGraft")} numeric value={perGraft} onInput={setPerGraft} />
      </div>
      <div class="area-answer">
        <p role="status">
          {got && "grafts" in got ? (
            say("wanted.is", { n: got.grafts, density })
          ) : (
            <span class={got ? "o-asks" : "quiet"}>{got ? got.trouble : say("wanted.type")}</span>
          )}
        </p>
        <button type="button" class="do" disabled={density === ""} onClick={() => onDensity(density)}>
          {say("wanted.use")}
        </button>
      </div>
      <p class="quiet">{say("wanted.source")}</p>
    </div>
  );
}
