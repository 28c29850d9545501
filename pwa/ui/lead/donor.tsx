// What each donor region gave, what it still allows, and what stands there.
import type { ComponentChild, JSX } from "preact";
import { useState } from "preact/hooks";
import type { Figure as FigureName, Region, View } from "../../bridge/protocol.gen";
import { Dialog, NumberField } from "../parts/dialog";
import { Filled } from "../parts/filled";
import { per } from "../parts/per";
import type { Room } from "../parts/room";
import { count, list, say, sayFault } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { decimalsOf, readDecimal, writeDecimal } from "../parts/units";
import { Figure } from "../parts/where";
import { Fold } from "./fold";

interface Props {
  room: Room;
  view: View;
}

export function Donor({ room, view }: Props): JSX.Element {
  const [setting, set] = useState(false);
  const past = view.regions.filter((r) => r.pastShare || r.belowFloor);
  const says =
    past.length > 0
      ? say("donor.pastOf", { codes: list(past.map((r) => r.code)) })
      : view.headline.donorKnown
        ? say("donor.left", { n: view.headline.donorLeft })
        : say("donor.none");
  return (
    <Fold title={say("donor.title")} says={says} asks={past.length > 0}>
      {view.regions.map((r) => (
        <RegionRow key={r.ref} room={room} of={r} view={view} />
      ))}
      {view.ledger.punchedNowhere > 0 ? <p>{say("donor.nowhere", { n: view.ledger.punchedNowhere })}</p> : null}
      <div class="floor">
        <p>{view.ledger.floorHairs10 > 0 ? say("donor.floor", { n: per(view.ledger.floorHairs10, 10) }) : say("donor.noFloor")}</p>
        <button type="button" class="do" onClick={() => set(true)}>
          {say("donor.setFloor")}
        </button>
      </div>
      {setting ? <FloorSheet room={room} view={view} onClose={() => set(false)} /> : null}
    </Fold>
  );
}

function RegionRow({ room, of: r, view }: { room: Room; of: Region; view: View }): JSX.Element {
  const figure = (of: FigureName, words: string): ComponentChild => (
    <Figure room={room} of={of} at={r.ref}>
      {words}
    </Figure>
  );
  return (
    <section class="region">
      <header>
        <h3>
          {r.code} {r.name}
        </h3>
        <Figure room={room} of="donor left" at={r.ref} alone>
          {r.left < 0 ? say("donor.over", { n: Math.abs(r.left) }) : say("donor.leftShort", { n: r.left })}
        </Figure>
      </header>
      <p>
        <Filled of="donor.attempts" with={{ n: figure("attempted", count(r.punched)), of: figure("capacity", count(r.capacity)) }} />{" "}
        <span class="quiet">{say("donor.perCm2", { n: per(r.perCm2x10, 10) })}</span>
      </p>
      <p>
        <Filled of="donor.share" with={{ n: figure("share", per(r.shareTaken, 10_000)), of: per(r.sharePerMille, 1000) }} />
      </p>
      <p>
        {r.hairsKnown ? (
          <Filled
            of="donor.stands"
            with={{ n: figure("residual", per(r.residualHairs10, 10)), floor: per(view.ledger.floorHairs10, 10) }}
          />
        ) : (
          <Filled of="donor.standsUnits" with={{ n: figure("residual", per(r.residualUnits10, 10)) }} />
        )}
      </p>
      {r.pastShare ? <Past words={say("donor.pastShare")} /> : null}
      {r.belowFloor ? <Past words={say("donor.belowFloor")} /> : null}
    </section>
  );
}

/** A limit that is passed. */
function Past({ words }: { words: string }): JSX.Element {
  return (
    <p class="limit">
      <Glyph of="past" />
      <span>{words}</span>
    </p>
  );
}

function FloorSheet({ room, view, onClose }: Props & { onClose: () => void }): JSX.Element {
  const [floor, setFloor] = useState(writeDecimal(view.ledger.floorHairs10, decimalsOf.density));
  const [wrong, setWrong] = useState("");
  const set = async (): Promise<void> => {
    const n = readDecimal(floor, decimalsOf.density);
    if (n === null) {
      setWrong(say("donor.floorWrong"));
      return;
    }
    const { fault } = await room.tap({ kind: "floor", hairsPerCm2x10: n });
    if (fault) setWrong(sayFault(fault));
    else onClose();
  };
  return (
    <Dialog title={say("donor.setFloor")} onClose={onClose}>
      <p>{say("donor.floorWhy")}</p>
      <NumberField label={say("donor.floorField")} error={wrong} value={floor} onInput={setFloor} />
      <button type="button" class="do first" onClick={() => void set()}>
        {say("donor.setFloor")}
      </button>
    </Dialog>
  );
}
