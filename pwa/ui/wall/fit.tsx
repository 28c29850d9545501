// What does not fit leaves, in an order that the caller states. Words and
// figures are never cut and never overlap.
import type { JSX } from "preact";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { unfilled } from "../parts/say";
import { Still } from "../parts/still";

let changes = 0; // of the space there is, heard of from the start: a face may arrive before what it is for
const watchers = new Set<() => void>();
const changed = (): void => {
  changes++;
  for (const w of watchers) w();
};
addEventListener("resize", changed);
document.fonts.addEventListener("loadingdone", changed);

/** Counts the changes of the space there is: the window's size, the face that arrived. */
export function useSpace(): number {
  const [n, set] = useState(changes);
  useEffect(() => {
    const again = (): void => set(changes);
    again();
    watchers.add(again);
    return () => {
      watchers.delete(again);
    };
  }, []);
  return n;
}

const slack = 1; // px that rounding may take

/** Whether something in the box is wider than its place, or ends below it. */
function overflows(box: HTMLElement): boolean {
  for (const one of [box, ...box.querySelectorAll<HTMLElement>("[data-fit]")]) {
    if (one.scrollWidth > one.clientWidth + slack) return true;
  }
  const end = box.getBoundingClientRect().bottom + slack;
  return [...box.children].some((child) => child.getBoundingClientRect().bottom > end);
}

interface Fitting {
  choices: readonly (() => JSX.Element | null)[]; // the richest first
  of: string; // all that it shows, and what its room depends on: nothing is drawn or measured again before it changes
  className: string;
}

/** Shows the first of several ways to say something that fits its box. All are tried again when the text takes another room. */
export function Fit({ choices, of, className }: Fitting): JSX.Element {
  const box = useRef<HTMLDivElement>(null);
  const space = useSpace();
  const key = `${space} ${shapeOf(of)}`;
  const [tried, set] = useState({ key, at: 0 });
  const at = tried.key === key ? Math.min(tried.at, choices.length - 1) : 0;
  const measured = useRef("");
  const drawn = `${space} ${at} ${unfilled("language.tag")} ${of}`;
  useLayoutEffect(() => {
    if (measured.current === drawn) return;
    measured.current = drawn;
    if (box.current && at < choices.length - 1 && overflows(box.current)) set({ key, at: at + 1 });
  });
  return (
    <div ref={box} class={className}>
      <Still of={[drawn]}>{() => choices[at]?.() ?? null}</Still>
    </div>
  );
}

/** How much room a text takes: figures are all as wide as another. */
const shapeOf = (text: string): string => text.replace(/\d/g, "0");
