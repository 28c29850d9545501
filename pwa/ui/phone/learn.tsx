// Learning keys: one pad after the other asks for its key.
import "./rare-words";
import type { JSX } from "preact";
import { useLayoutEffect, useState } from "preact/hooks";
import { Dialog } from "../parts/dialog";
import { keysNow, setKeys, useHabits } from "../parts/habits";
import { type PadHandle, pads } from "../parts/pad";
import { say } from "../parts/say";
import { Glyph } from "../parts/strokes";
import { capOf, keyOf, learnable } from "./pad-keys";

/** A key that counts another pad already. */
interface Clash {
  key: string;
  cap: string;
  other: string; // the name of that pad
}

/** The pads of the station with their keys, and the question for one. */
export function LearnSheet({ station, onClose }: { station: string; onClose: () => void }): JSX.Element {
  useHabits(); // a pass that comes brings pads
  const all = [...pads.values()].sort((a, b) => Number(a.id === "undo") - Number(b.id === "undo"));
  const [asked, setAsked] = useState<readonly PadHandle[]>([]); // one after the other
  const [clash, setClash] = useState<Clash | null>(null);
  const [wrong, setWrong] = useState("");
  const keys = keysNow(station);
  const pad = asked[0];
  const next = (): void => {
    setClash(null);
    setWrong("");
    setAsked(asked.slice(1));
  };
  const learn = (key: string, cap: string): void => {
    if (!pad) return;
    const others = Object.entries(keys).filter(([k, to]) => k !== key && to.pad !== pad.id); // a pad has one key, and a key one pad
    setKeys(station, Object.fromEntries([...others, [key, { pad: pad.id, cap }]]));
    next();
  };
  const forget = (id: string): void =>
    setKeys(station, Object.fromEntries(Object.entries(keys).filter(([, to]) => id !== "" && to.pad !== id)));
  useLayoutEffect(() => {
    if (!pad) return;
    const down = (e: KeyboardEvent): void => {
      if (e.key === "Tab" || clash) return;
      e.preventDefault();
      e.stopPropagation();
      if (e.repeat) return;
      if (e.key === "Escape") setAsked([]);
      else if (!learnable(e)) setWrong(say("learn.not"));
      else {
        const other = all.find((p) => p.id === keys[keyOf(e)]?.pad && p.id !== pad.id);
        if (other) setClash({ key: keyOf(e), cap: capOf(e), other: other.name });
        else learn(keyOf(e), capOf(e));
      }
    };
    addEventListener("keydown", down, true);
    return () => removeEventListener("keydown", down, true);
  });
  return (
    <Dialog title={say("learn.title")} onClose={onClose}>
      {pad ? (
        <section class="asks-key" aria-live="polite">
          {clash ? (
            <>
              <Glyph of="ask" />
              <h3>{say("learn.clash", { key: clash.cap, other: clash.other })}</h3>
              <button type="button" class="do first" onClick={() => learn(clash.key, clash.cap)}>
                {say("learn.instead", { pad: pad.name })}
              </button>
              <button type="button" class="do" onClick={() => setClash(null)}>
                {say("learn.other")}
              </button>
            </>
          ) : (
            <>
              <h3>{say("learn.press", { pad: pad.name })}</h3>
              {wrong ? <p class="wrong">{wrong}</p> : null}
              <button type="button" class="do" onClick={next}>
                {say("learn.skip")}
              </button>
              <button type="button" class="do" onClick={() => setAsked([])}>
                {say("learn.stop")}
              </button>
            </>
          )}
        </section>
      ) : (
        <>
          <p class="quiet">{say("learn.why")}</p>
          <button type="button" class="do first" onClick={() => setAsked(all)}>
            {say("learn.all")}
          </button>
          <ul class="learn">
            {all.map((p) => {
              const cap = Object.values(keys).find((k) => k.pad === p.id)?.cap;
              return (
                <li key={p.id}>
                  <span>
                    {p.name} {cap ? <kbd>{cap}</kbd> : null}
                  </span>
                  <button type="button" class="do" onClick={() => setAsked([p])}>
                    {say(cap ? "learn.change" : "learn.one")} <span class="off">{p.name}</span>
                  </button>
                  {cap ? (
                    <button type="button" class="do" onClick={() => forget(p.id)}>
                      {say("learn.forget")} <span class="off">{p.name}</span>
                    </button>
                  ) : null}
                </li>
              );
            })}
          </ul>
          {Object.keys(keys).length > 0 ? (
            <button type="button" class="do" onClick={() => forget("")}>
              {say("learn.forgetAll")}
            </button>
          ) : null}
        </>
      )}
    </Dialog>
  );
}
