// The settings of this phone: how it answers, how it is laid out, which keys
// count. They are applied at once and stay on the phone.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { Dialog } from "../parts/dialog";
import { type Habits, setHabits, useHabits } from "../parts/habits";
import { pads } from "../parts/pad";
import { say } from "../parts/say";
import { LearnSheet } from "./learn";
import { soundPad } from "./sound";
import { wakeNow } from "./wake";

const canVibrate = "vibrate" in navigator;

/** The sheet. */
export function SettingsSheet({ station, onClose }: { station: string; onClose: () => void }): JSX.Element {
  const habits = useHabits();
  const [learns, setLearns] = useState(false);
  if (learns) return <LearnSheet station={station} onClose={onClose} />;
  const set = (some: Partial<Habits>): void => {
    setHabits(some);
    if (some.sound) soundPad(0, false); // how it sounds, and the touch that lets a page sound at all
    if (some.vibration) navigator.vibrate?.(10);
  };
  const one = (of: keyof Habits, why: string, disabled = false): JSX.Element => (
    <label>
      <span>{say(`set.${of}`)}</span>
      <span class="quiet">{why}</span>
      <input
        type="checkbox"
        disabled={disabled}
        checked={habits[of] && !disabled}
        onChange={(e) => set({ [of]: e.currentTarget.checked })}
      />
    </label>
  );
  return (
    <Dialog title={say("set.title")} onClose={onClose}>
      <div class="switches">
        {one("sound", say("set.soundWhy"))}
        {one("vibration", say(canVibrate ? "set.vibrationWhy" : "set.vibrationNone"), !canVibrate)}
        {one("large", say("set.largeWhy"))}
        {one("left", say("set.leftWhy"))}
      </div>
      {pads.size > 0 ? (
        <button type="button" class="do" onClick={() => setLearns(true)}>
          {say("set.keys")}
        </button>
      ) : null}
      <p class={wakeNow() === "on" ? "quiet" : "warn"}>{wakeWords()}</p>
    </Dialog>
  );
}

/** Whether the screen stays on, and what to do where it does not. */
export const wakeWords = (): string =>
  say(wakeNow() === "none" ? "set.wakeNone" : wakeNow() === "refused" ? "set.wakeRefused" : "set.wakeOn");
