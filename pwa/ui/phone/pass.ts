// A pass as screens write it.
import type { Pass, View } from "../../bridge/protocol.gen";
import { type Key, say } from "../parts/say";

/** "Pass 2, by exception". */
export const passName = (view: View, pass: Pass): string =>
  say("extraction.passName", { n: view.passes.indexOf(pass) + 1, mode: say(`mode.${pass.mode}` as Key) });
