// The zones and what is to place in each, and the sizes to sort.
import type { JSX } from "preact";
import type { View, Zone } from "../../bridge/protocol.gen";
import { count, say } from "../parts/say";
import { beyondBudget } from "../parts/whole-plan";
import { Fit } from "./fit";
import { type Forms, shortNames } from "./short-name";
import { Sizes, shownOfSizes } from "./sizes";

type Form = 0 | 1 | 2 | 3; // of all names; the least only where each has its own

interface Way {
  only: readonly Zone[];
  form: Form;
  bars: boolean;
  sizes: boolean;
  more: boolean;
}

/**
 * Ways to show the panel. In this order leave: zones that are done, the ends of
 * names, the sizes, the bars (two columns then), the last zones.
 */
function ways(zones: Zone[], withSizes: boolean): Way[] {
  const open = zones.filter((z) => z.toPlace > 0);
  const rest = open.length > 0 ? open : zones;
  const bars = (only: readonly Zone[], form: Form, sizes: boolean): Way => ({ only, form, bars: true, sizes, more: false });
  const shorter = (sizes: boolean): Way[] => ([0, 1, 2, 3] as const).map((form) => bars(rest, form, sizes));
  const all = [bars(zones, 0, withSizes), ...(withSizes ? shorter(true) : []), ...shorter(false)];
  for (let n = rest.length; n > 0; n--) all.push({ only: rest.slice(0, n), form: 0, bars: false, sizes: false, more: n < rest.length });
  return all;
}

/** high is what it has room for, in units; alone it has the whole width. */
export function ZonePanel({ view, high, alone }: { view: View; high: number; alone: boolean }): JSX.Element {
  const className = alone ? "w-right w-alone" : "w-right";
  const style = `block-size:calc(var(--u) * ${Math.floor(high)})`;
  const { zones } = view;
  const sorting = view.session.stations.includes("sorting") && view.session.endedMs === 0;
  if (zones.length === 0) {
    return (
      <section class={className}>
        <p class="quiet">{say("wall.zones-missing")}</p>
      </section>
    );
  }
  const forms = new Map(shortNames(zones.map((z) => z.name)).map((f, i) => [zones[i]?.ref ?? "", f]));
  const choices = ways(zones, sorting).map((way) => () => <Shown way={way} forms={forms} view={view} />);
  return (
    <section class={className} style={style} aria-label={say("wall.zones")}>
      <Fit
        className="w-panel"
        of={JSON.stringify([
          high,
          beyondBudget(view),
          view.session.endedMs > 0,
          zones.map((z) => [z.name, z.toPlace, z.toPlace > 0, z.placedTotal, z.openTotal, z.needTotal]),
          sorting && shownOfSizes(view),
        ])}
        choices={choices}
      />
    </section>
  );
}

function Shown({ way, forms, view }: { way: Way; forms: Map<string, Forms>; view: View }): JSX.Element {
  return (
    <>
      <h2 data-fit>
        <span>{say(beyondBudget(view) ? "wall.whole-plan" : "wall.zones")}</span>
        <span>{say(view.session.endedMs > 0 ? "wall.not-placed" : "wall.to-place")}</span>
      </h2>
      <ul class={way.bars ? "w-zones" : "w-zones w-two"} data-fit>
        {way.only.map((z) => (
          <li key={z.ref}>
            {way.bars ? (
              <span>{(forms.get(z.ref) ?? [z.name])[way.form] ?? z.name}</span>
            ) : (
              <Name forms={forms.get(z.ref) ?? [z.name]} beside={z.toPlace} />
            )}
            {way.bars && <ZoneBar zone={z} />}
            <b>{count(z.toPlace)}</b>
          </li>
        ))}
        {way.more && <li class="quiet">{say("wall.zones-more")}</li>}
      </ul>
      {way.sizes && <Sizes view={view} />}
    </>
  );
}

/** A name beside its figure, as long as there is room. */
function Name({ forms, beside }: { forms: readonly string[]; beside: number }): JSX.Element {
  const ways = (name: string) => [() => <span>{name}</span>, () => <span class="w-narrow">{name}</span>];
  return <Fit className="w-name" of={`${forms.join("|")} ${beside}`} choices={forms.flatMap(ways)} />;
}

/** Solid is placed, strokes are open sites, the outline is still to come. */
function ZoneBar({ zone: z }: { zone: Zone }): JSX.Element {
  const open = Math.max(0, z.openTotal);
  const whole = Math.max(z.needTotal, z.placedTotal + open, 1);
  const placed = (400 * Math.max(0, z.placedTotal)) / whole;
  const sites = placed + (400 * open) / whole;
  const id = `wall-zone-${z.ref.replace(/\W/g, "-")}`;
  return (
    <svg class="bar" viewBox="0 0 400 40" preserveAspectRatio="none" aria-hidden="true">
      <defs>
        <pattern id={id} width="10" height="40" patternUnits="userSpaceOnUse">
          <path d="M2 0H6V40H2Z" class="w-kept" />
        </pattern>
      </defs>
      <path class="f" d="M1 1H399V39H1Z" />
      {sites > placed && <path fill={`url(#${id})`} d={`M${placed} 0H${sites}V40H${placed}Z`} />}
      {placed > 0 && <path class="w-kept" d={`M0 0H${placed}V40H0Z`} />}
    </svg>
  );
}
