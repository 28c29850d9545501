// An outline traced on a photo that has a ruler in it. The photo is drawn from
// the file into this page and nowhere else: it is not sent, and not kept.
import "./office-words";
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Shape } from "../../bridge/messages";
import { Answer, Mm, useArea } from "./area";
import { wholeNumber } from "./dialog";
import type { Room } from "./room";
import { say } from "./say";

/** A place on the photo, in its own units. */
interface Spot {
  x: number;
  y: number;
}

interface Photo {
  bitmap: ImageBitmap;
  width: number;
  height: number;
}

const longest = 2000; // units of a photo's longer side: as fine as a finger, and not too much to hold
const rulerEnds = 2; // the first spots are the ruler's ends, the others the outline

/** Reads a photo, made smaller if need be. */
async function readPhoto(file: File): Promise<Photo> {
  const whole = await createImageBitmap(file);
  const by = Math.min(1, longest / Math.max(whole.width, whole.height));
  const width = Math.max(1, Math.round(whole.width * by));
  const height = Math.max(1, Math.round(whole.height * by));
  if (by === 1) return { bitmap: whole, width, height };
  const bitmap = await createImageBitmap(whole, { resizeWidth: width, resizeHeight: height, resizeQuality: "high" });
  whole.close();
  return { bitmap, width, height };
}

/** A photo, let go when another one comes or the page is left. */
function usePhoto(): [Photo | null, (file: File) => Promise<boolean>] {
  const [photo, set] = useState<Photo | null>(null);
  const held = useRef<Photo | null>(null);
  const hold = (next: Photo | null): void => {
    held.current?.bitmap.close();
    held.current = next;
  };
  useEffect(() => () => hold(null), []);
  return [
    photo,
    async (file) => {
      try {
        const next = await readPhoto(file);
        hold(next);
        set(next);
        return true;
      } catch {
        return false;
      }
    },
  ];
}

/** The shape that the spots say; null until there are enough. */
function shapeOf(spots: readonly Spot[], rulerMm: number | null): Shape | null {
  const [from, to, ...outline] = spots;
  if (!from || !to || outline.length < 3 || rulerMm === null) return null;
  return { kind: "outline", points: outline.flatMap((p) => [p.x, p.y]), ruler: [from.x, from.y, to.x, to.y], rulerMm };
}

/** What is to be done next. */
function next(spots: readonly Spot[], rulerMm: number | null): string {
  if (spots.length < rulerEnds) return say(spots.length === 0 ? "trace.ruler-1" : "trace.ruler-2");
  if (rulerMm === null) return say("trace.length");
  return spots.length < rulerEnds + 3 ? say("trace.outline", { n: spots.length - rulerEnds }) : "";
}

export function Trace({ room, onUse }: { room: Room; onUse: (cm2: string) => void }): JSX.Element {
  const [photo, take] = usePhoto();
  const [unread, setUnread] = useState(false);
  const [spots, setSpots] = useState<Spot[]>([]);
  const [at, setAt] = useState(-1); // the spot that keys move
  const [mm, setMm] = useState("");
  const rulerMm = wholeNumber(mm);
  const got = useArea(room, shapeOf(spots, rulerMm));
  const choose = (file: File | undefined): void => {
    if (!file) return;
    void take(file).then((read) => {
      setUnread(!read);
      if (read) setSpots([]);
    });
  };
  const add = (spot: Spot): void => {
    setAt(spots.length);
    setSpots([...spots, spot]);
  };
  const todo = photo ? next(spots, rulerMm) : "";
  return (
    <div class="area-way">
      <p>{say("trace.how")}</p>
      <p class="quiet">{say("trace.stays")}</p>
      <label class="do trace-file">
        <input type="file" accept="image/*" class="off" onChange={(e) => choose(e.currentTarget.files?.[0])} />
        {say(photo ? "trace.other" : "trace.photo")}
      </label>
      {unread && <p role="alert">{say("trace.unread")}</p>}
      {photo && (
        <>
          <p class="trace-todo" role="status">
            {todo !== "" ? todo : say("trace.more")}
          </p>
          <Sheet
            photo={photo}
            spots={spots}
            at={at}
            onAdd={add}
            onSelect={setAt}
            onMove={(i, spot) => setSpots(spots.map((s, j) => (j === i ? spot : s)))}
          />
          <p class="o-acts">
            <button type="button" class="do" onClick={() => add({ x: Math.round(photo.width / 2), y: Math.round(photo.height / 2) })}>
              {say("trace.add")}
            </button>
            <button type="button" class="do" disabled={spots.length === 0} onClick={() => setSpots(spots.slice(0, -1))}>
              {say("trace.undo")}
            </button>
          </p>
          <Mm label={say("trace.ruler-mm")} value={mm} onInput={setMm} />
          <Answer got={got} trouble={todo} onUse={onUse} />
          <p class="quiet">{say("trace.flat")}</p>
        </>
      )}
    </div>
  );
}

interface SheetProps {
  photo: Photo;
  spots: readonly Spot[];
  at: number;
  onAdd: (spot: Spot) => void;
  onSelect: (i: number) => void;
  onMove: (i: number, spot: Spot) => void;
}

/** The photo, and over it the ruler and the outline. A tap adds a point; one that is there is dragged. */
function Sheet({ photo, spots, at, onAdd, onSelect, onMove }: SheetProps): JSX.Element {
  const { width, height } = photo;
  const canvas = useRef<HTMLCanvasElement>(null);
  const svg = useRef<SVGSVGElement>(null);
  const dragged = useRef(-1);
  useEffect(() => {
    canvas.current?.getContext("2d")?.drawImage(photo.bitmap, 0, 0);
  }, [photo]);
  const within = (x: number, y: number): Spot => ({
    x: Math.min(width, Math.max(0, Math.round(x))),
    y: Math.min(height, Math.max(0, Math.round(y))),
  });
  const spotOf = (e: PointerEvent): Spot => {
    const box = svg.current?.getBoundingClientRect();
    return box ? within(((e.clientX - box.left) * width) / box.width, ((e.clientY - box.top) * height) / box.height) : within(0, 0);
  };
  const down = (e: PointerEvent): void => {
    if (e.button !== 0) return;
    e.preventDefault();
    const hit = e.target instanceof Element ? e.target.closest<SVGElement>("[data-spot]") : null;
    dragged.current = hit ? Number(hit.dataset.spot) : spots.length;
    if (hit) onSelect(dragged.current);
    else onAdd(spotOf(e));
    svg.current?.setPointerCapture(e.pointerId);
  };
  const key = (i: number, e: KeyboardEvent): void => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
    const spot = spots[i];
    if (!by || !spot) return;
    e.preventDefault();
    const step = e.shiftKey ? 20 : 1;
    onMove(i, within(spot.x + step * (by[0] ?? 0), spot.y + step * (by[1] ?? 0)));
  };
  const outline = spots.slice(rulerEnds);
  const path = (of: readonly Spot[]): string => of.map((p, i) => `${i === 0 ? "M" : "L"}${p.x} ${p.y}`).join("");
  return (
    <fieldset class="trace" aria-label={say("trace.sheet")} style={`aspect-ratio:${width}/${height}`}>
      <canvas ref={canvas} width={width} height={height} />
      {/* biome-ignore lint/a11y/noSvgWithoutTitle: the fieldset names it, and a title would hang over the photo */}
      <svg
        ref={svg}
        viewBox={`0 0 ${width} ${height}`}
        onPointerDown={down}
        onPointerMove={(e) => dragged.current >= 0 && dragged.current < spots.length && onMove(dragged.current, spotOf(e))}
        onPointerUp={() => {
          dragged.current = -1;
        }}
        onPointerCancel={() => {
          dragged.current = -1;
        }}
      >
        {outline.length > 0 && <path class="trace-line" d={`${path(outline)}${outline.length > 2 ? "Z" : ""}`} />}
        {spots.length > 1 && <path class="trace-ruler" d={path(spots.slice(0, rulerEnds))} />}
        {spots.map((s, i) => (
          <Handle key={i} spot={s} i={i} on={i === at} unit={width / 100} most={width} onSelect={onSelect} onKey={key} />
        ))}
      </svg>
    </fieldset>
  );
}

interface HandleProps {
  spot: Spot;
  i: number;
  on: boolean;
  unit: number; // a hundredth of the photo's width
  most: number;
  onSelect: (i: number) => void;
  onKey: (i: number, e: KeyboardEvent) => void;
}

/** A point that a finger or keys can move. */
function Handle({ spot, i, on, unit, most, onSelect, onKey }: HandleProps): JSX.Element {
  const name = i < rulerEnds ? say("trace.end", { n: i + 1 }) : say("trace.point", { n: i + 1 - rulerEnds });
  return (
    <g
      class={`trace-spot${i < rulerEnds ? " trace-end" : ""}${on ? " on" : ""}`}
      data-spot={i}
      role="slider"
      tabIndex={0}
      aria-label={name}
      aria-valuemin={0}
      aria-valuemax={most}
      aria-valuenow={spot.x}
      aria-valuetext={say("trace.at", { x: spot.x, y: spot.y })}
      onFocus={() => onSelect(i)}
      onKeyDown={(e) => onKey(i, e)}
    >
      <circle class="trace-hit" cx={spot.x} cy={spot.y} r={3 * unit} />
      <circle class="trace-dot" cx={spot.x} cy={spot.y} r={unit} />
    </g>
  );
}
