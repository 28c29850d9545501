// A first practice of two minutes for each station: a few small tasks, each
// done when the View says so, however it came about.

import type { Truth } from "../../bridge/messages";
import type { Station, View } from "../../bridge/protocol.gen";
import type { Key } from "../parts/say";

/** What a task is held against: what the engine tells, when the task began, or its network was turned, and now. */
export interface Seen {
  view: View;
  truth: Truth;
}

export interface Task {
  say: Key; // one line
  done: (now: Seen, then: Seen) => boolean;
  turns?: "away" | "back"; // the network is to be turned first
}

const grown = (now: number | undefined, then: number | undefined, by: number): boolean => (now ?? 0) >= (then ?? 0) + by;
const task = (say: Key, done: Task["done"]): Task => ({ say, done });

/** A figure of the View that grows by some, or falls. */
const more = (say: Key, figure: (view: View) => number | undefined, by: number): Task =>
  task(say, (now, then) => grown(figure(now.view), figure(then.view), by));
const less = (say: Key, figure: (view: View) => number | undefined, by: number): Task =>
  task(say, (now, then) => grown(figure(then.view), figure(now.view), by));

/** The network goes, counting goes on, and all goes over by itself. */
const network = (counting: Key, entries: number): Task[] => [
  { say: counting, turns: "away", done: (now, then) => !now.truth.up && grown(now.truth.written, then.truth.written, entries) },
  { say: "practice.back", turns: "back", done: ({ truth }) => truth.up && truth.unsent === 0 },
];

const outcome =
  (n: number) =>
  ({ own }: View) =>
    own.tally.outcomes[n];
const sorted =
  (size: number) =>
  ({ own }: View) =>
    own.tally.sorted[size - 1];
const placed =
  (size: number) =>
  ({ own }: View) =>
    own.tally.placed[size - 1];
const zoneSites =
  (n: number) =>
  ({ zones }: View) =>
    zones[n]?.sitesTotal;
const zonePlaced =
  (n: number) =>
  ({ zones }: View) =>
    zones[n]?.placedTotal;

const intact = 0;
const empty = 5;
const front = 0;
const crown = 1;

/** Attempts were moved from one region to another. */
const movedRegion = (now: Seen, then: Seen): boolean => {
  const was = (ref: string): number => then.view.regions.find((r) => r.ref === ref)?.punched ?? 0;
  const { regions } = now.view;
  return regions.some((r) => grown(was(r.ref), r.punched, 3)) && regions.some((r) => grown(r.punched, was(r.ref), 3));
};

export const tasks: Partial<Record<Station, readonly Task[]>> = {
  extraction: [
    more("practice.intact", outcome(intact), 3),
    more("practice.empty", outcome(empty), 1),
    less("practice.undoEmpty", outcome(empty), 1),
    task("practice.moveRegion", movedRegion),
    ...network("practice.awayExtraction", 5),
  ],
  sorting: [
    more("practice.two", sorted(2), 1),
    more("practice.singles", sorted(1), 3),
    less("practice.undoSingle", sorted(1), 1),
    more("practice.ten", sorted(2), 10),
    more("practice.reject", ({ own }) => own.tally.rejectedBench, 1),
    ...network("practice.awaySorting", 5),
  ],
  sites: [
    more("practice.tenSites", zoneSites(front), 10),
    more("practice.row", zoneSites(front), 25),
    less("practice.undoRow", zoneSites(front), 25),
    more("practice.crownSites", zoneSites(crown), 10),
    less("practice.moveSites", zoneSites(crown), 10),
    ...network("practice.awaySites", 3),
  ],
  placing: [
    more("practice.placeTwo", placed(2), 2),
    less("practice.cameBack", ({ ledger }) => ledger.placedTotal, 1),
    more("practice.undoCameBack", ({ ledger }) => ledger.placedTotal, 1),
    more("practice.crownPlaced", zonePlaced(crown), 3),
    less("practice.movePlaced", zonePlaced(crown), 3),
    ...network("practice.awayPlacing", 5),
  ],
  desk: [
    task("practice.recount", (now, then) =>
      now.view.recounts.some((r) => r.what === "bench" && !then.view.recounts.some((before) => before.ref === r.ref)),
    ),
    more("practice.dish", ({ dishes }) => dishes.length, 1),
    task("practice.pause", ({ view }) => view.pace.stations.some((s) => s.paused)),
    task("practice.resume", ({ view }) => view.pace.stations.every((s) => !s.paused)),
    ...network("practice.awayDesk", 1),
  ],
  lead: [
    task("practice.choose", ({ view }) => view.ledger.budgetsStanding === 1),
    task("practice.budget", ({ view }) => view.headline.budget === 1100),
    less("practice.undoOther", ({ ledger }) => ledger.judged, 1),
    ...network("practice.awayLead", 1),
  ],
};
