// What keys do on every page, as a sheet over it.
import "./help-words";
import { render } from "preact";
import { Dialog } from "./dialog";
import { type Key, say } from "./say";

/** A key as it is called, and what it does; more than one where either does. */
const lines: readonly [readonly Key[], Key][] = [
  [["help.tab", "help.shiftTab"], "help.goes"],
  [["help.enter", "help.space"], "help.presses"],
  [["help.escape"], "help.closes"],
  [["help.asks"], "help.this"],
];

/** Opens the sheet, once. */
export function openHelp(): void {
  if (document.querySelector("#help")) return;
  const host = document.createElement("div");
  host.id = "help";
  document.body.append(host);
  const close = (): void => {
    render(null, host);
    host.remove();
  };
  render(
    <Dialog title={say("help.title")} onClose={close}>
      <dl class="help">
        {lines.map(([keys, does]) => (
          <div key={does}>
            <dt>
              {keys.map((key) => (
                <kbd key={key}>{say(key)}</kbd>
              ))}
            </dt>
            <dd>{say(does)}</dd>
          </div>
        ))}
      </dl>
      <p class="quiet">{say("help.learned")}</p>
    </Dialog>,
    host,
  );
}
