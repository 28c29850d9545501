// A part of the lead's screen that is one line until it is opened.
import type { ComponentChildren, JSX } from "preact";

interface FoldProps {
  title: string;
  says: string; // the one line
  asks?: boolean; // it is past a limit, or wants something
  wants?: boolean; // it asks, and no limit is passed
  open?: boolean;
  children: ComponentChildren;
}

export function Fold({ title, says, asks = false, wants = false, open = false, children }: FoldProps): JSX.Element {
  return (
    <details class="fold" open={open}>
      <summary>
        <h2>{title}</h2>
        <span class={asks ? "past-words" : wants ? "tight" : "quiet"}>{says}</span>
      </summary>
      <div class="inside">{children}</div>
    </details>
  );
}
