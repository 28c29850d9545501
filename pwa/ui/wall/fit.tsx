// What does not fit leaves, in an order that the caller states. Words and
// figures are never cut and never overlap.
import type { JSX } from "preact";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";

/** Counts the changes of the space there is: the window's size, the face that arrived. */
export function useSpace(): number {
  const [n, set] = useState(0);
  useEffect(() => {
    const again = (): void => set((x) => x + 1);
    addEventListener("resize", again);
    document.fonts.addEventListener("loadingdone", again);
    return () => {
      removeEventListener("resize", again);
      document.fonts.removeEventListener("loadingdone", again);
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
  of: string; // what the choice depends on: when it changes, all are tried again
  className: string;
}

/** Shows the first of several ways to say something that fits its box. */
export function Fit({ choices, of, className }: Fitting): JSX.Element {
  const box = useRef<HTMLDivElement>(null);
  const key = `${useSpace()} ${shapeOf(of)}`;
  const [tried, set] = useState({ key, at: 0 });
  const at = tried.key === key ? Math.min(tried.at, choices.length - 1) : 0;
  useLayoutEffect(() => {
    if (box.current && at < choices.length - 1 && overflows(box.current)) set({ key, at: at + 1 });
  });
  return (
    <div ref={box} class={className}>
      {choices[at]?.()}
    </div>
  );
}

/** How much room a text takes: figures are all as wide as another. */
const shapeOf = (text: string): string => text.replace(/\d/g, "0");
