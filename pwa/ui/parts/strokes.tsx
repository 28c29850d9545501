// The stroke alphabet: every glyph is drawn with the colour of its words.
import type { JSX } from "preact";

/** The drawings by name: the size of their box, and what stands in it. */
const drawings = {
  attempt: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H7V17.5H2ZM17 15.5H22V17.5H17Z" />
        <circle cx="12" cy="15" r="4.6" fill="none" stroke="currentColor" stroke-width="2" />
      </>
    ),
  ],
  intact: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H22V17.5H2ZM7 4.65L10 3V15.5H7ZM14 4.65L17 3V15.5H14Z" />
      </>
    ),
  ],
  partial: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H22V17.5H2ZM7 4.65L10 3V15.5H7ZM14 4.65L17 3V7.5H14ZM14 10.8L17 9V15.5H14Z" />
      </>
    ),
  ],
  total: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H22V17.5H2ZM7 4.65L10 3V7.5H7ZM7 10.8L10 9V15.5H7ZM14 4.65L17 3V7.5H14ZM14 10.8L17 9V15.5H14Z" />
      </>
    ),
  ],
  topped: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H22V17.5H2ZM7 4.65L10 3V7.6H7ZM14 4.65L17 3V7.6H14Z" />
      </>
    ),
  ],
  buried: [
    24,
    24,
    () => (
      <>
        <path d="M2 7H22V9H2ZM7 11.5H10V18L8.8 21L7 18ZM14 11.5H17V18L15.8 21L14 18Z" />
      </>
    ),
  ],
  empty: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H7V17.5H2ZM17 15.5H22V17.5H17Z" />
        <path d="M7 16.5Q12 23 17 16.5" fill="none" stroke="currentColor" stroke-width="2" />
      </>
    ),
  ],
  loose: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H22V17.5H2Z" />
        <path transform="rotate(62 12 10)" d="M10.5 4.65L13.5 3V16H10.5Z" />
      </>
    ),
  ],
  held: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H22V17.5H2ZM10.5 4.65L13.5 3V15.5H10.5Z" />
      </>
    ),
  ],
  site: [
    24,
    24,
    () => (
      <>
        <path d="M2 9H8.6L12 18L15.4 9H22V11H16.8L12.9 21.4H11.1L7.2 11H2Z" />
      </>
    ),
  ],
  placed: [
    24,
    24,
    () => (
      <>
        <path d="M2 9H9.5V11H2ZM14.5 9H22V11H14.5ZM10.5 3.65L13.5 2V16L12.36 22L10.5 16Z" />
      </>
    ),
  ],
  reject: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H22V17.5H2ZM10.5 4.65L13.5 3V15.5H10.5Z" />
        <path d="M4 13.5L20 5" stroke="currentColor" stroke-width="2.2" fill="none" />
      </>
    ),
  ],
  split: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H22V17.5H2ZM5 4.65L8 3V15.5H5ZM11 8H14V10H11ZM16 3.88L17.6 3V15.5H16ZM19.4 3.88L21 3V15.5H19.4Z" />
      </>
    ),
  ],
  dish: [
    24,
    24,
    () => (
      <>
        <path d="M3 9H21V15Q21 19 17 19H7Q3 19 3 15ZM5 11V15Q5 17 7 17H17Q19 17 19 15V11Z" />
      </>
    ),
  ],
  recount: [
    24,
    24,
    () => (
      <>
        <path d="M4 7.43L6.6 6V18H4ZM8.6 7.43L11.2 6V18H8.6Z" />
        <path d="M14.6 8.8A4.6 4.6 0 1 1 14 14.6" fill="none" stroke="currentColor" stroke-width="2" />
        <path d="M13 5.4V10.4H18Z" />
      </>
    ),
  ],
  pause: [
    24,
    24,
    () => (
      <>
        <path d="M2 20H22V22H2ZM7 5.87L10.4 4V18H7ZM13.6 5.87L17 4V18H13.6Z" />
      </>
    ),
  ],
  dose: [
    24,
    24,
    () => (
      <>
        <path d="M9 3H15V5H13V8H16V19L12 22L8 19V8H11V5H9ZM10 10V12H13V14H10V16H13V18H10V18L12 19.6L14 18V10Z" />
      </>
    ),
  ],
  hand: [
    24,
    24,
    () => (
      <>
        <path d="M2 8H14L11 5H14.4L18.4 9L14.4 13H11L14 10H2ZM22 17H10L13 20H9.6L5.6 16L9.6 12H13L10 15H22Z" />
      </>
    ),
  ],
  note: [
    24,
    24,
    () => (
      <>
        <path d="M4 3H16L20 7V21H4ZM6 5V19H18V8H15V5ZM8 11H16V13H8ZM8 15H14V17H8Z" />
      </>
    ),
  ],
  late: [
    24,
    24,
    () => (
      <>
        <path d="M2 15.5H22V17.5H2ZM4 4.65L7 3V15.5H4ZM9 4.65L12 3V15.5H9Z" />
        <path d="M16 3V11H21" fill="none" stroke="currentColor" stroke-width="2.2" />
      </>
    ),
  ],
  seal: [
    24,
    24,
    () => (
      <>
        <path d="M3 17H21V18.8H3ZM3 20.4H21V22.2H3ZM6 4.65L9 3V14.5H6ZM11 4.65L14 3V14.5H11ZM16 4.65L19 3V14.5H16Z" />
      </>
    ),
  ],
  out: [
    24,
    24,
    () => (
      <>
        <path d="M2 18H9.5V20H2ZM14.5 18H22V20H14.5ZM12 2L17.6 8H13.4V20H10.6V8H6.4Z" />
      </>
    ),
  ],
  undo: [
    24,
    24,
    () => (
      <>
        <path d="M9 4V8H14Q20 8 20 13.5Q20 19 14 19H8V17H14Q18 17 18 13.5Q18 10 14 10H9V14L3.6 9Z" />
      </>
    ),
  ],
  more: [
    24,
    24,
    () => (
      <>
        <path d="M4 9.65L7 8V16H4ZM10.5 9.65L13.5 8V16H10.5ZM17 9.65L20 8V16H17Z" />
      </>
    ),
  ],
  digits: [
    24,
    24,
    () => (
      <>
        <path d="M4 3H8V7H4ZM10 3H14V7H10ZM16 3H20V7H16ZM4 9H8V13H4ZM10 9H14V13H10ZM16 9H20V13H16ZM4 15H8V19H4ZM10 15H14V19H10ZM16 15H20V19H16ZM10 20.5H14V23H10Z" />
      </>
    ),
  ],
  inroom: [
    24,
    24,
    () => (
      <>
        <path fill-rule="evenodd" d="M3 3H21V21H3ZM10.5 6.6L13.5 5V15L12.3 19L10.5 15Z" />
      </>
    ),
  ],
  going: [
    24,
    24,
    () => (
      <>
        <path d="M3 3H14V5H5V19H14V21H3Z" />
        <path d="M9 10.8H16L13 7.6H16.4L21 12L16.4 16.4H13L16 13.2H9Z" />
      </>
    ),
  ],
  here: [
    24,
    24,
    () => (
      <>
        <circle cx="12" cy="12" r="9" fill="none" stroke="currentColor" stroke-width="2.2" />
        <path d="M10.5 8.2L13.5 6.6V17.4H10.5Z" />
      </>
    ),
  ],
  ask: [
    24,
    24,
    () => (
      <>
        <path fill-rule="evenodd" d="M12 1.5L23.2 21.5H.8ZM10.6 9.4L13.4 8V15.4H10.6ZM10.6 17H13.4V19.4H10.6Z" />
      </>
    ),
  ],
  past: [
    24,
    24,
    () => (
      <>
        <path fill-rule="evenodd" d="M7.5 1.5H16.5L22.5 7.5V16.5L16.5 22.5H7.5L1.5 16.5V7.5ZM5.5 10.4V13.6H18.5V10.4Z" />
      </>
    ),
  ],
  todo: [
    24,
    24,
    () => (
      <>
        <path fill="none" stroke="currentColor" stroke-width="1.8" d="M3 3H21V21H3Z" />
      </>
    ),
  ],
  "size-1": [
    16,
    40,
    () => (
      <>
        <path d="M0 34H16V38H0ZM4 4.97L9.4 2V34H4Z" />
      </>
    ),
  ],
  "size-2": [
    27,
    40,
    () => (
      <>
        <path d="M0 34H27V38H0ZM4 4.97L9.4 2V34H4ZM15 4.97L20.4 2V34H15Z" />
      </>
    ),
  ],
  "size-3": [
    38,
    40,
    () => (
      <>
        <path d="M0 34H38V38H0ZM4 4.97L9.4 2V34H4ZM15 4.97L20.4 2V34H15ZM26 4.97L31.4 2V34H26Z" />
      </>
    ),
  ],
  "size-4": [
    60,
    40,
    () => (
      <>
        <path d="M0 34H58V38H0ZM4 4.97L9.4 2V34H4ZM15 4.97L20.4 2V34H15ZM26 4.97L31.4 2V34H26ZM37 4.97L42.4 2V34H37ZM50 12H53.6V17H58.6V20.6H53.6V25.6H50V20.6H45V17H50Z" />
      </>
    ),
  ],
} as const satisfies Record<string, readonly [number, number, () => JSX.Element]>;

export type Stroke = keyof typeof drawings;

/** One glyph. It says nothing to a screen reader: words stand beside it. */
export function Glyph({ of, className = "glyph" }: { of: Stroke; className?: string }): JSX.Element {
  const [width, height, body] = drawings[of];
  return (
    <svg class={className} viewBox={`0 0 ${width} ${height}`} aria-hidden="true">
      {body()}
    </svg>
  );
}

const sizeGlyphs = ["size-1", "size-2", "size-3", "size-4"] as const;

/** A unit size, as that many strokes. */
export function SizeGlyph({ size }: { size: number }): JSX.Element {
  return <Glyph of={sizeGlyphs[Math.min(Math.max(size, 1), 4) - 1] ?? "size-1"} className="size" />;
}

/** The mark of the house. */
export function Mark(): JSX.Element {
  return (
    <svg class="mark" viewBox="0 0 64 64" aria-hidden="true">
      <path d="M4 16.13L11.5 12V34H4ZM17 16.13L24.5 12V34H17ZM30 16.13L37.5 12V34H30ZM43.5 9.68L52 5V46L48.77 63L43.5 46ZM0 37.5H40.5V44H0ZM55 37.5H64V44H55Z" />
    </svg>
  );
}

const perRun = 25;

/** The last counts as strokes in fives; the ones that the room has not are hollow. */
export function Run({ n, hollow }: { n: number; hollow: number }): JSX.Element {
  const shown = n === 0 ? 0 : ((n - 1) % perRun) + 1;
  const strokes = Array.from({ length: shown }, (_, i) => {
    const x = 2 + 56 * Math.floor(i / 5) + 11 * (i % 5);
    const open = shown - i <= hollow;
    if (i % 5 === 4) {
      const from = x - 46;
      return <path key={i} class={open ? "open" : ""} d={`M${from} 33L${from + 44} 7V11.5L${from} 37.5Z`} />;
    }
    return <path key={i} class={open ? "open" : ""} d={`M${x} 5.75L${x + 5} 3V40H${x}Z`} />;
  });
  return (
    <svg class="run" viewBox="0 0 280 44" preserveAspectRatio="xMinYMid meet" aria-hidden="true">
      {strokes}
    </svg>
  );
}
