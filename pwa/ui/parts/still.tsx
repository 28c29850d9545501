// A part of a screen that stands still while what it shows does.
import type { JSX } from "preact";
import { useMemo } from "preact/hooks";
import { unfilled } from "./say";

interface StillProps {
  of: readonly unknown[]; // all that it shows; always as many
  children: () => JSX.Element;
}

/** Draws its part again only when something that it shows has changed: a count changes little of a station. */
export const Still = ({ of, children }: StillProps): JSX.Element => useMemo(children, [...of, unfilled("language.tag")]);
