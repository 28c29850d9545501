// What is rarely opened lies in a script of its own, which is fetched once the
// first screen is drawn: a phone counts sooner, and opens the rest without a
// network.
import type { FunctionComponent } from "preact";
import { useEffect, useState } from "preact/hooks";
import { say } from "../parts/say";

type Rare = typeof import("./rare");

let rare: Rare | null = null;
let coming: Promise<void> | null = null;

/** Fetches that script, once. */
export function fetchRare(): Promise<void> {
  coming ??= import("./rare").then(
    (got) => {
      rare = got;
    },
    (why) => {
      coming = null; // the next one who asks tries again
      throw why;
    },
  );
  return coming;
}

/** silent: nothing a person asked for, so nothing is said when it can not come. */
function later<P extends object>(pick: (from: Rare) => FunctionComponent<P>, silent = false): FunctionComponent<P> {
  return function Later(props: P) {
    const [state, set] = useState<"" | "there" | "lost">(rare ? "there" : "");
    useEffect(() => {
      if (!rare)
        fetchRare().then(
          () => set("there"),
          () => set("lost"),
        );
    }, []);
    if (rare) {
      const Part = pick(rare);
      return <Part {...props} />;
    }
    return state === "lost" && !silent ? (
      <p class="said" role="alert">
        {say("page.partUnloaded")}
      </p>
    ) : null;
  };
}

export const BeginPass = later((from) => from.BeginPass);
export const CameBack = later((from) => from.CameBack);
export const DeskScreen = later((from) => from.DeskScreen);
export const DishDone = later((from) => from.DishDone);
export const EntryList = later((from) => from.EntryList);
export const ExtractionMore = later((from) => from.ExtractionMore);
export const FillSheet = later((from) => from.FillSheet);
export const HandSheet = later((from) => from.HandSheet);
export const Hands = later((from) => from.Hands, true);
export const HeldLine = later((from) => from.HeldLine);
export const InspectSheet = later((from) => from.InspectSheet);
export const LookSheet = later((from) => from.LookSheet);
export const ManySizes = later((from) => from.ManySizes);
export const OpeningSheet = later((from) => from.OpeningSheet);
export const PhoneMenu = later((from) => from.PhoneMenu);
export const RejectPlaced = later((from) => from.RejectPlaced);
export const RejectSorting = later((from) => from.RejectSorting);
export const SetupSheet = later((from) => from.SetupSheet);
export const SitesNumber = later((from) => from.SitesNumber);
export const SplitSheet = later((from) => from.SplitSheet);
export const StandSheet = later((from) => from.StandSheet);
export const TakeSheet = later((from) => from.TakeSheet);
