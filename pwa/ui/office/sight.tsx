// How large the wall's screen is and from how far it is read: its letters follow.
import "../parts/lead-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Sight } from "../../bridge/messages";
import { say } from "../parts/say";
import { type SightTyped, sightRead, sightTyped } from "../parts/sight";
import { saveSight, wordsOf } from "./api";
import { Field, Wrong } from "./field";

export function SightForm({ token, room, now }: { token: string; room: string; now: Sight }): JSX.Element {
  const [typed, type] = useState<SightTyped>(sightTyped(now));
  const [wrong, setWrong] = useState<"" | keyof SightTyped | "form">("");
  const [words, setWords] = useState("");
  const [kept, setKept] = useState(false);
  const set = async (): Promise<void> => {
    const read = sightRead(typed);
    setKept(false);
    if (typeof read === "string") {
      setWrong(read);
      return;
    }
    try {
      await saveSight(token, room, read);
      setWrong("");
      setKept(true);
    } catch (error) {
      setWrong("form");
      setWords(wordsOf(error));
    }
  };
  return (
    <details class="o-leadcode">
      <summary>{say("sight.title")}</summary>
      <p class="quiet">{say("sight.why")}</p>
      <div class="o-pair">
        {(["inches", "metres"] as const).map((one) => (
          <Field
            key={one}
            label={say(`sight.${one}`)}
            numeric
            value={typed[one]}
            error={wrong === one ? say("sight.wrong") : undefined}
            onInput={(value) => type({ ...typed, [one]: value })}
          />
        ))}
      </div>
      <p>
        <button type="button" class="do" onClick={() => void set()}>
          {say("sight.set")}
        </button>
      </p>
      {wrong === "form" ? <Wrong>{words}</Wrong> : null}
      {kept ? <p role="status">{say("sight.kept")}</p> : null}
    </details>
  );
}
