// The figures of a session, as tables. They load when a session is open.
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { RegionTable, TakenTable } from "./donor-tables";
import { DoseTables } from "./dose-tables";
import { DishTable, HairTable, MixTable, NeedTable, RecountTable } from "./graft-tables";
import { PaceTable } from "./pace-table";
import { QualityTables } from "./quality-tables";
import { TimeOutTable } from "./time-out-table";

export interface TableOf {
  room: Room;
  view: View;
}

export function Tables(of: TableOf): JSX.Element {
  return (
    <div class="o-tables">
      <NeedTable {...of} />
      <MixTable {...of} />
      {of.view.session.endedMs === 0 && <PaceTable {...of} />}
      <RegionTable {...of} />
      <TakenTable {...of} />
      <HairTable {...of} />
      <DishTable {...of} />
      <RecountTable {...of} />
      <QualityTables {...of} />
      <TimeOutTable {...of} />
      <DoseTables {...of} />
    </div>
  );
}
