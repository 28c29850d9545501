// How large things stand on a wall: by its diagonal, and by how far away it is
// read. A character that is seen under an angle of α at a distance of D is
// 2 D tan(α / 2) high.
import type { Sight } from "../../bridge/messages";

/** The least angles in minutes of arc, and what stands for each on the usual sheet, in units of capital height. */
const least = [
  { minutes: 60, units: 178 }, // the headline's figure
  { minutes: 22, units: 66 }, // every other figure
  { minutes: 16, units: 48 }, // words
] as const;

const usual = { wide: 1920, high: 1080 }; // units

/** How high something is that is seen under an angle. */
const seen = (minutes: number, distanceMm: number): number => 2 * distanceMm * Math.tan((minutes * Math.PI) / (2 * 60 * 180));

/** What the room is set to, zeros for not; the address of one screen may say otherwise: ?inches=55&metres=8. */
export function sightOf(room: Sight = { diagonalMm: 0, distanceMm: 0 }, search = location.search): Sight {
  const asked = new URLSearchParams(search);
  const positive = (name: string, mm: number): number => {
    const n = mm * Number(asked.get(name)?.replace(",", "."));
    return n > 0 && n < 100_000 ? n : 0;
  };
  return { diagonalMm: positive("inches", 25.4) || room.diagonalMm, distanceMm: positive("metres", 1000) || room.distanceMm };
}

/** What a wall has room for. What does not fit leaves, in this order: the picture, the zones, the regions of the bar, the bar's line. */
export interface Sheet {
  times: number; // as large as on the usual sheet; never smaller
  wide: number; // units that the screen has
  high: number;
  picture: boolean;
  zones: number; // units of their height, 0 for none
  bar: boolean;
  stop: boolean;
}

const top = 250; // the headline
const line = 102; // what stops first
const bar = 110; // its regions
const foot = [148, 248] as const; // what asks, in one line or two
const both = 470; // picture and zones beside each other
/** From how many times as large on a sheet is little: its last line may be two. */
export const littleFrom = 1.2;

const leastWide = 1740; // for both
const few = 142; // a zone and its heading

/** The sheet of a wall of some size on a screen of some pixels: made for 43 inches at five metres where nobody said, and for the hand that holds it where it stands upright. */
export function sheetOf({ diagonalMm, distanceMm }: Sight, width: number, height: number): Sheet {
  const known = diagonalMm > 0 && distanceMm > 0 && width > height;
  const unit = Math.min(width / usual.wide, height / usual.high); // pixels
  const pixelMm = diagonalMm / Math.hypot(width, height);
  const times = known ? Math.max(1, ...least.map((one) => seen(one.minutes, distanceMm) / (one.units * unit * pixelMm))) : 1;
  const [wide, high] = [usual.wide / times, usual.high / times];
  const asks = foot[times > littleFrom ? 1 : 0];
  const middle = high - top - line - bar - asks;
  const picture = wide >= leastWide && middle >= both - 20;
  return {
    times,
    wide,
    high,
    picture,
    zones: picture ? both + 12 : middle >= few ? middle : 0,
    bar: middle >= 0,
    stop: high - top - asks >= line,
  };
}
