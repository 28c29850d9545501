// The punch in the skin, to scale: as wide as it is, beside the dense top layer
// of about one millimetre.
import type { JSX } from "preact";
import { useId } from "preact/hooks";
import { say } from "../parts/say";
import { writeDecimal } from "../parts/units";

const mm = 54; // px
const wide = 3.2 * mm; // of skin that is drawn: the widest punch is 3 mm
const air = 44; // px above the skin
const deep = 1.9 * mm; // of skin that is drawn
const wall = 0.07 * mm;

/** A length with an arrow's end at both sides. */
function Across({ from, to, y }: { from: number; to: number; y: number }): JSX.Element {
  return <path class="skin-size" d={`M${from} ${y}H${to}M${from} ${y - 5}V${y + 5}M${to} ${y - 5}V${y + 5}`} />;
}

/** The two walls of the punch, cut through; what of the edge is drawn is its slope only. */
function Punch({ of }: { of: number }): JSX.Element {
  const [left, right, rim, slope] = [wide / 2 - of / 2, wide / 2 + of / 2, air + mm, 9];
  return (
    <>
      <path class="skin-cut" d={`M${left} ${air}H${right}V${rim}H${left}Z`} />
      <path
        class="skin-punch"
        d={`M${left} 26H${left + wall}V${rim}H${left + wall}L${left} ${rim - slope}ZM${right} 26H${right - wall}V${rim}H${right - wall}L${right} ${rim - slope}Z`}
      />
      <Across from={left} to={right} y={16} />
    </>
  );
}

/** The picture; a diameter that is not known leaves the skin alone. */
export function Skin({ diameterUm }: { diameterUm: number }): JSX.Element {
  const id = useId();
  const side = wide + 14;
  return (
    <figure class="skin">
      <svg viewBox={`0 0 ${side + 92} ${air + deep + 2}`} width={side + 92} height={air + deep + 2} aria-hidden="true">
        <defs>
          <pattern id={`${id}dense`} width="14" height="10" patternUnits="userSpaceOnUse">
            <path d="M1 3Q4 1 7 3T13 3M-6 8Q-3 6 0 8T6 8M8 8Q11 6 14 8T20 8" fill="none" stroke="currentColor" stroke-width="1.3" />
          </pattern>
          <pattern id={`${id}loose`} width="26" height="18" patternUnits="userSpaceOnUse">
            <path d="M3 6Q7 3 11 6M16 15Q20 12 24 15" fill="none" stroke="currentColor" stroke-width="1" />
          </pattern>
        </defs>
        <rect class="cycle-ground" x="0" y={air} width={wide} height={deep} />
        <rect class="skin-dense" x="0" y={air} width={wide} height={mm} fill={`url(#${id}dense)`} />
        <rect class="skin-loose" x="0" y={air + mm} width={wide} height={deep - mm} fill={`url(#${id}loose)`} />
        <path class="cycle-floor" d={`M0 ${air}H${wide}`} />
        <path class="skin-under" d={`M0 ${air + mm}H${wide}`} />
        {diameterUm > 0 ? <Punch of={(diameterUm * mm) / 1000} /> : null}
        <path class="skin-size" d={`M${side} ${air}V${air + mm}M${side - 5} ${air}H${side + 5}M${side - 5} ${air + mm}H${side + 5}`} />
        {diameterUm > 0 ? (
          <text x={wide / 2 + (diameterUm * mm) / 2000 + 8} y="21">
            {say("punch.mm", { n: writeDecimal(diameterUm, 3) })}
          </text>
        ) : null}
        <text x={side + 12} y={air + mm / 2 + 5}>
          {say("punch.layer")}
        </text>
      </svg>
      <figcaption class="quiet">{say("punch.layerWhy")}</figcaption>
    </figure>
  );
}
