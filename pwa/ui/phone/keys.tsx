// Large keys for a number: gloves, and no keyboard that slides over the question.
import "./rare-words";
import type { JSX } from "preact";
import { useLayoutEffect, useState } from "preact/hooks";
import { count, say } from "../parts/say";

const digits = ["1", "2", "3", "4", "5", "6", "7", "8", "9"] as const;
const most = 5; // digits

interface KeysProps {
  question: string;
  busy: boolean; // while a number is being kept
  least?: number; // that may be entered
  onNumber: (n: number) => void;
}

/** Asks for one number; the keys of a keyboard or number pad work too. */
export function Keys({ question, busy, least = 0, onNumber }: KeysProps): JSX.Element {
  const [text, setText] = useState("");
  const [wrong, setWrong] = useState(false);
  const add = (digit: string): void => {
    setWrong(false);
    setText((now) => (now === "0" ? digit : (now + digit).slice(0, most)));
  };
  const done = (): void => {
    if (text === "" || Number(text) < least) setWrong(true);
    else onNumber(Number(text));
  };
  useLayoutEffect(() => {
    const key = (e: KeyboardEvent): void => {
      if (busy) return;
      if (/^\d$/.test(e.key)) add(e.key);
      else if (e.key === "Backspace") setText((now) => now.slice(0, -1));
      else if (e.key === "Enter" && !(e.target instanceof HTMLButtonElement)) done();
      else return;
      e.preventDefault();
    };
    document.addEventListener("keydown", key);
    return () => document.removeEventListener("keydown", key);
  });
  return (
    <>
      <div class="question">
        <h3>{question}</h3>
        <output>{text === "" ? <span class="quiet">{say("keys.none")}</span> : count(Number(text))}</output>
      </div>
      {wrong ? (
        <p class="wrong" role="alert">
          {say(least > 0 ? "phone.numberWrong" : "keys.wrong")}
        </p>
      ) : null}
      <div class="keys">
        {digits.map((d) => (
          <button type="button" class="pad2" key={d} disabled={busy} onClick={() => add(d)}>
            {d}
          </button>
        ))}
        <button type="button" class="pad2 small" disabled={busy} onClick={() => setText("")}>
          {say("keys.clear")}
        </button>
        <button type="button" class="pad2" disabled={busy} onClick={() => add("0")}>
          0
        </button>
        <button type="button" class="pad2 go" disabled={busy} onClick={done}>
          {say("keys.done")}
        </button>
      </div>
    </>
  );
}
