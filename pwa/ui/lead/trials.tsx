// The lead's part about punch set-ups: the trials, the running one open.
import "../parts/punch-words";
import type { JSX } from "preact";
import type { View } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { say } from "../parts/say";
import { SoFar } from "../punch/comparison";
import { TrialCard, trialBrief } from "../punch/trial-card";
import { Fold } from "./fold";

export function Trials({ room, view }: { room: Room; view: View }): JSX.Element | null {
  if (view.setups.length === 0) return null;
  const open = view.trials.filter((t) => !t.concluded).at(-1) ?? view.trials.at(-1);
  return (
    <Fold title={say("trial.title")} says={open ? trialBrief(open) : say("trial.noneYet")}>
      {view.trials.length === 0 ? <p>{say("trial.howLead")}</p> : null}
      {view.trials.map((t, i) => <TrialCard key={t.ref} room={room} view={view} of={t} n={i + 1} />).reverse()}
      <SoFar room={room} view={view} />
      <p class="quiet">{say("punch.care")}</p>
    </Fold>
  );
}
