// A sentence with more than words in the places of its {names}.
import type { ComponentChild, JSX } from "preact";
import { type Key, say } from "./say";

/** The sentence of a key; what has no part stays out. */
export function Filled({ of, with: parts }: { of: Key; with: Readonly<Record<string, ComponentChild>> }): JSX.Element {
  return (
    <>
      {say(of)
        .split(/\{(\w+)\}/)
        .map((part, i) => (i % 2 === 0 ? part : (parts[part] ?? "")))}
    </>
  );
}
