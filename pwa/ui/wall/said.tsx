// Sentences of the wall, their figures larger than their words.
import type { JSX } from "preact";
import { count, type Key, unfilled } from "../parts/say";

/** A sentence whose {names} are figures. A range does not turn round in a right-to-left line. */
export function Said({ of, with: figures = {} }: { of: Key; with?: Readonly<Record<string, string | number>> }): JSX.Element {
  const parts = unfilled(of, figures.n).split(/\{(\w+)\}/);
  const figure = (of: string | number = ""): string => (typeof of === "number" ? count(of) : of);
  return (
    <>
      {parts.map((part, i) =>
        i % 2 === 0 ? (
          part || null // an empty text would be written again at each drawing, and its line laid out again
        ) : (
          <b key={i}>
            <bdi dir="ltr">{figure(figures[part])}</bdi>
          </b>
        ),
      )}
    </>
  );
}
