// The lead's phone: the sentence, what asks, what does not agree; then, a line
// each until it is opened, the budget, the pace, the sizes, the donor and the close.
import "../parts/lead-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Phone, View } from "../../bridge/protocol.gen";
import { Conflicts } from "../parts/conflicts";
import type { Room, Shown } from "../parts/room";
import { TruthLine } from "../parts/truth-line";
import { EntryList } from "../phone/later";
import { PhoneList } from "../phone/phone-list";
import { Who } from "../phone/station";
import { Budget } from "./budget";
import { Close } from "./close";
import { Day } from "./day";
import { Differences } from "./difference";
import { Donor } from "./donor";
import { DosesFold } from "./doses";
import { Asks, Sentence } from "./headline";
import { Mix } from "./mix";
import { Pace } from "./pace";
import { Quality } from "./quality";
import { Settles } from "./settle";
import { SightFold } from "./sight";
import { TimeOut } from "./time-out";
import { Trials } from "./trials";

/** The lead's phone. */
export function LeadScreen({ room, shown, view }: { room: Room; shown: Shown; view: View }): JSX.Element {
  const [whose, setWhose] = useState<Phone | null>(null);
  const ended = view.session.endedMs > 0; // nothing asks for a next step then, and nothing has a pace
  return (
    <main class="phone lead">
      <TruthLine room={room} shown={shown} counted={view.session.events} entries />
      <Who room={room} view={view} station="station.lead" />
      <div class="scroll">
        <Sentence room={room} view={view} />
        {ended ? null : <Asks room={room} view={view} />}
        <Conflicts room={room} view={view} />
        <Differences room={room} view={view} />
        <div class="folds">
          <Budget room={room} view={view} />
          {ended ? null : <Pace room={room} view={view} />}
          <Mix room={room} view={view} />
          <Trials room={room} view={view} />
          <Quality room={room} view={view} />
          <Donor room={room} view={view} />
          <TimeOut room={room} view={view} />
          <Settles room={room} view={view} />
          <Close room={room} view={view} />
          <DosesFold room={room} view={view} />
          <Day room={room} view={view} />
          <SightFold room={room} />
        </div>
        <PhoneList view={view} onPick={setWhose} />
      </div>
      {whose ? <EntryList room={room} view={view} of={whose} onClose={() => setWhose(null)} /> : null}
    </main>
  );
}
