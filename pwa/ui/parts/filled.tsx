// A sentence with more than words in the places of its {names}.
import type { ComponentChild, JSX } from "preact";
import { type Key, unfilled } from "./say";

/** The sentence of a key; what has no part stays out. n chooses the plural form where the part {n} is more than a number. */
export function Filled({
  of,
  with: parts,
  n = parts.n,
}: {
  of: Key;
  with: Readonly<Record<string, ComponentChild>>;
  n?: unknown;
}): JSX.Element {
  return (
    <>
      {unfilled(of, n)
        .split(/\{(\w+)\}/)
        .map((part, i) => (i % 2 === 0 ? part : (parts[part] ?? "")))}
    </>
  );
}
