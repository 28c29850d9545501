// Large keys for a number with a point: mL, kg, %.
import "../parts/dose-words";
import "./rare-words";
import type { ComponentChildren, JSX } from "preact";
import { useLayoutEffect, useState } from "preact/hooks";
import { say } from "../parts/say";
import { decimalSign, readDecimal } from "../parts/units";

const digits = ["1", "2", "3", "4", "5", "6", "7", "8", "9"] as const;
const most = 9; // characters

interface KeysProps {
  question: string;
  decimals: number; // at most so many
  busy: boolean;
  onNumber: (n: number) => void; // as a whole number of its last decimal
  onTyping?: (n: number | null) => void; // the same, while it is typed
  children?: ComponentChildren; // what stands under the number
}

/** Asks for one number; the keys of a keyboard or number pad work too. */
export function DecimalKeys({ question, decimals, busy, onNumber, onTyping, children }: KeysProps): JSX.Element {
  const [text, setText] = useState("");
  const [wrong, setWrong] = useState("");
  const type = (next: string): void => {
    setWrong("");
    setText(next);
    onTyping?.(readDecimal(next.replace(/\.$/, ""), decimals));
  };
  const add = (digit: string): void => {
    if (text.length < most) type(text === "0" ? digit : text + digit);
  };
  const point = (): void => {
    if (decimals > 0 && !text.includes(".")) type(`${text === "" ? "0" : text}.`);
  };
  const done = (): void => {
    const n = readDecimal(text.replace(/\.$/, ""), decimals);
    if (n === null) setWrong(say(text === "" ? "dose.numberNone" : "dose.numberWrong"));
    else onNumber(n);
  };
  useLayoutEffect(() => {
    const key = (e: KeyboardEvent): void => {
      if (busy) return;
      if (/^\d$/.test(e.key)) add(e.key);
      else if (e.key === "." || e.key === ",") point();
      else if (e.key === "Backspace") type(text.slice(0, -1));
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
        {decimals > 0 && text !== "" ? (
          <button type="button" class="do" disabled={busy} onClick={() => type("")}>
            {say("keys.clear")}
          </button>
        ) : null}
        <output>
          {text === "" ? <span class="quiet">{say("keys.none")}</span> : <bdi dir="ltr">{text.replace(".", decimalSign())}</bdi>}
        </output>
      </div>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {children}
      <div class="keys">
        {digits.map((d) => (
          <button type="button" class="pad2" key={d} disabled={busy} onClick={() => add(d)}>
            {d}
          </button>
        ))}
        {decimals > 0 ? (
          <button type="button" class="pad2" disabled={busy} aria-label={say("dose.point")} onClick={point}>
            {decimalSign()}
          </button>
        ) : (
          <button type="button" class="pad2 small" disabled={busy} onClick={() => type("")}>
            {say("keys.clear")}
          </button>
        )}
        <button type="button" class="pad2" disabled={busy} onClick={() => add("0")}>
          0
        </button>
        <button type="button" class="pad2 go" disabled={busy} onClick={done}>
          {say("dose.goOn")}
        </button>
      </div>
    </>
  );
}
