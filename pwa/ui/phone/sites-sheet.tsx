// Sites by a number: made, or given up.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import { say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { ManySheet, type Thing } from "./many";

const things = (): Thing[] => [
  { id: "made", name: say("sites.made"), mark: <Glyph of="site" /> },
  { id: "up", name: say("sites.givenUp"), mark: <Glyph of="reject" />, steps: [1, 5, 10], less: true },
];

interface Props {
  view: View;
  onAdd: (n: number, closed: boolean, late: boolean) => Promise<boolean>;
  onClose: () => void;
}

/** The sheet. */
export function SitesNumber({ view, onAdd, onClose }: Props): JSX.Element {
  return (
    <ManySheet
      title={say("sites.number")}
      view={view}
      things={things()}
      stocks={["sites"]}
      onMany={(id, n, late) => onAdd(n, id === "up", late)}
      onClose={onClose}
    >
      <p class="quiet">{say("sites.giveUpWhy")}</p>
    </ManySheet>
  );
}
