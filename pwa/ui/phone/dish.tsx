// A dish as screens write it: its name, what lies in it, how old it is.
import type { JSX } from "preact";
import type { Dish } from "../../bridge/protocol.gen";
import { count, say, type Under } from "../parts/say";
import { SizeGlyph } from "../parts/strokes";

export const sizes = [1, 2, 3, 4] as const;

/** "doubles", or "mixed" for a dish of all sizes. */
export const sizesWord = (size: number): string => say(size > 0 ? (`sizes.${size}` as Under<"sizes.">) : "phone.mixed");

export const dishName = (dish: Dish): string => say("phone.dish", { label: dish.label });

/** What goes into a dish, by its strokes; not how much lies in it. */
export function GoesIn({ dish }: { dish: Dish }): JSX.Element {
  return (
    <span class="init">
      {dish.size > 0 ? <SizeGlyph size={dish.size} /> : null}
      <span class={dish.size > 0 ? "off" : ""}>{sizesWord(dish.size)}</span>
    </span>
  );
}

/** How many of each size lie in a dish, as the tallies say. */
export function InIt({ dish }: { dish: Dish }): JSX.Element {
  const there = sizes.filter((size) => (dish.in[size - 1] ?? 0) !== 0);
  return (
    <span class="init">
      {(there.length > 0 ? there : dish.size > 0 ? [dish.size] : []).map((size) => (
        <span key={size}>
          <SizeGlyph size={size} />
          <span class="off">{sizesWord(size)}</span>
          {dish.size === size && there.length < 2 ? null : count(dish.in[size - 1] ?? 0)}
        </span>
      ))}
    </span>
  );
}
