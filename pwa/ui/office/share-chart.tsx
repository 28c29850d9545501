// The cut attempts of a pass in groups of 50, against their limits. The table
// beside it says the same in figures.
import "../parts/quality-words";
import type { JSX } from "preact";
import type { Chart } from "../../bridge/messages";
import { per } from "../parts/per";
import { count, say } from "../parts/say";

const box = { width: 640, height: 200, left: 72, right: 8, top: 12, bottom: 24 };
const groupSize = 50;
const marks = 8; // labels along the groups, at most

export function ShareChart({ of: chart }: { of: Chart }): JSX.Element {
  const { groups } = chart;
  const top = Math.max(chart.high, ...groups.map((g) => (10_000 * g.cut) / groupSize), 500) * 1.1;
  const x = (i: number): number => box.left + ((i + 0.5) * (box.width - box.left - box.right)) / groups.length;
  const y = (parts: number): number => box.height - box.bottom - (parts * (box.height - box.top - box.bottom)) / top;
  const points = groups.map((g, i) => ({ x: x(i), y: y((10_000 * g.cut) / groupSize), out: g.out }));
  const step = Math.ceil(groups.length / marks);
  return (
    <svg class="o-shares" viewBox={`0 0 ${box.width} ${box.height}`} role="img" aria-label={say("quality.chartIs", { n: groups.length })}>
      <rect class="band" x={box.left} y={y(chart.high)} width={box.width - box.left - box.right} height={y(chart.low) - y(chart.high)} />
      {[chart.low, chart.mean, chart.high].map((parts, i) => (
        <g key={i}>
          <line class={i === 1 ? "mean" : "limit-line"} x1={box.left} x2={box.width - box.right} y1={y(parts)} y2={y(parts)} />
          <text x={box.left - 6} y={y(parts) + 4} text-anchor="end">
            {per(parts, 10_000)}
          </text>
        </g>
      ))}
      <polyline class="path" points={points.map((p) => `${p.x},${p.y}`).join(" ")} />
      {points.map((p, i) => (
        <g key={i}>
          {p.out ? <rect class="out" x={p.x - 5} y={p.y - 5} width="10" height="10" /> : <circle class="in" cx={p.x} cy={p.y} r="3.5" />}
          {i % step === 0 ? (
            <text x={p.x} y={box.height - 6} text-anchor="middle">
              {count(i + 1)}
            </text>
          ) : null}
        </g>
      ))}
    </svg>
  );
}
