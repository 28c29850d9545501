// Any figure on a screen, as a button that says where it comes from.
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Where } from "../../bridge/messages";
import type { Figure as FigureName, Ref } from "../../bridge/protocol.gen";
import type { Room } from "./room";
import { say } from "./say";

interface FigureProps {
  room: Room;
  of: FigureName;
  at?: Ref; // the zone, region, pass or dish that it is about
  size?: number; // the unit size that it is about
  alone?: boolean; // it stands alone, not in a line of words: a finger must hit it
  children: string; // the figure as it stands there, with its words if need be
}

/** The sheet is a part of its own: it comes when it is first asked for, or before, once the page is idle. */
const sheet = (): Promise<typeof import("./where-sheet")> => import("./where-sheet");

/** A figure that can be asked where it comes from. It looks as it did, on a row of dots. */
export function Figure({ room, of, at = "", size = 0, alone = false, children }: FigureProps): JSX.Element {
  const [failed, setFailed] = useState(false);
  const now = useRef(children); // what the sheet shows while it is open
  now.current = children;
  useEffect(() => {
    const soon = setTimeout(() => sheet().catch(() => undefined), 3000);
    return () => clearTimeout(soon);
  }, []);
  const open = (): void => {
    const where: Where = { of, at, size };
    sheet().then(
      ({ openWhere }) => openWhere(room, where, () => now.current),
      () => setFailed(true),
    );
  };
  return (
    <>
      <button
        type="button"
        class={alone ? "asked alone" : "asked"}
        aria-haspopup="dialog"
        aria-label={say("page.where", { what: children })}
        onClick={open}
      >
        <bdi>{children}</bdi>
      </button>
      {failed ? (
        <span class="wrong" role="alert">
          {say("page.whereUnloaded")}
        </span>
      ) : null}
    </>
  );
}
