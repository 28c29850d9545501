// What a station does for the hands at it besides drawing: sound, keys, and a
// screen that stays on. It loads after the first screen.
import "./rare-words";
import { useEffect } from "preact/hooks";
import { answers } from "../parts/pad";
import { listenKeys } from "./pad-keys";
import { soundAsk, soundPad } from "./sound";
import { keepAwake } from "./wake";

/** Works for as long as the station is on the screen. */
export function Hands({ station }: { station: string }): null {
  useEffect(() => {
    answers.sound = soundPad;
    answers.ask = soundAsk;
    return keepAwake();
  }, []);
  useEffect(() => listenKeys(station), [station]);
  return null;
}
