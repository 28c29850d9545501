// All that later.tsx hands out, and its words.
import "./rare-words";

export { SetupSheet } from "../punch/station";
export { BeginPass } from "./begin-pass";
export { DeskScreen } from "./desk-screen";
export { DishDone } from "./dish-done";
export { FillSheet, TakeSheet } from "./dish-pick";
export { EntryList } from "./entry-list";
export { ExtractionMore } from "./extraction-more";
export { HandSheet } from "./hand-sheet";
export { Hands } from "./hands";
export { HeldLine } from "./held";
export { InspectSheet, LookSheet } from "./look-sheet";
export { OpeningSheet } from "./opening-sheet";
export { PhoneMenu } from "./phone-menu";
export { CameBack, RejectPlaced } from "./placing-sheets";
export { SitesNumber } from "./sites-sheet";
export { ManySizes, RejectSorting } from "./sorting-sheets";
export { SplitSheet } from "./split-sheet";
export { StandSheet } from "./stand-sheet";
