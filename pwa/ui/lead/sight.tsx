// The lead sets how large the wall's letters must be.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import { useBusy } from "../parts/busy";
import { NumberField } from "../parts/dialog";
import type { Room } from "../parts/room";
import { say, sayFault } from "../parts/say";
import { type SightTyped, sightRead } from "../parts/sight";
import { Fold } from "./fold";

export function SightFold({ room }: { room: Room }): JSX.Element {
  const [typed, type] = useState<SightTyped>({ inches: "", metres: "" });
  const [wrong, setWrong] = useState<"" | keyof SightTyped>("");
  const [words, setWords] = useState("");
  const [kept, setKept] = useState(false);
  const [busy, run] = useBusy();
  const set = async (): Promise<void> => {
    const read = sightRead(typed);
    setKept(false);
    setWords("");
    setWrong(typeof read === "string" ? read : "");
    if (typeof read === "string") return;
    const { fault } = await room.sight(read);
    if (fault) setWords(sayFault(fault));
    else setKept(true);
  };
  return (
    <Fold title={say("sight.title")} says={say(kept ? "sight.kept" : "sight.says")}>
      <p class="quiet">{say("sight.why")}</p>
      <div class="numbers">
        {(["inches", "metres"] as const).map((one) => (
          <NumberField
            key={one}
            label={say(`sight.${one}`)}
            error={wrong === one ? say("sight.wrong") : ""}
            value={typed[one]}
            words
            onInput={(value) => type({ ...typed, [one]: value })}
          />
        ))}
      </div>
      {words ? (
        <p class="wrong" role="alert">
          {words}
        </p>
      ) : null}
      <button type="button" class="do" disabled={busy} onClick={() => run(set)}>
        {say("sight.set")}
      </button>
    </Fold>
  );
}
