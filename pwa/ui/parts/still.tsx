// A part of a screen that stands still while what it shows does.
import { Component, type ComponentChild, type JSX } from "preact";
import { unfilled } from "./say";

interface StillProps {
  of: readonly unknown[]; // all that it shows; always as many
  children: () => JSX.Element | null;
}

/** Draws its part again only when something that it shows has changed: a count changes little of a screen. What is kept for that is what stands there, nothing older. */
export class Still extends Component<StillProps> {
  private language = "";

  override shouldComponentUpdate({ of }: StillProps): boolean {
    return this.language !== unfilled("language.tag") || of.some((one, i) => one !== this.props.of[i]);
  }

  override render(): ComponentChild {
    this.language = unfilled("language.tag");
    return this.props.children();
  }
}
