// Sentences of the wall, their figures larger than their words.
import type { JSX } from "preact";
import { type Key, say } from "../parts/say";

/** A sentence whose {names} are figures. A range does not turn round in a right-to-left line. */
export function Said({ of, with: figures = {} }: { of: Key; with?: Readonly<Record<string, string>> }): JSX.Element {
  const parts = say(of).split(/\{(\w+)\}/);
  return (
    <>
      {parts.map((part, i) =>
        i % 2 === 0 ? (
          part
        ) : (
          <b key={i}>
            <bdi dir="ltr">{figures[part] ?? ""}</bdi>
          </b>
        ),
      )}
    </>
  );
}
