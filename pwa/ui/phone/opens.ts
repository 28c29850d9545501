// Which stations have something to enter as an opening count.
import type { Station } from "../../bridge/protocol.gen";

export const opens = (station: Station): boolean =>
  station === "extraction" || station === "sorting" || station === "sites" || station === "placing";
