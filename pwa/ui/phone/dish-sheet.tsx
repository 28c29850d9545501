// One dish on the desk: counted again, done, or closed. What the tallies have in
// it is shown when it is asked for: whoever counts it must not know before.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Dish, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { clock, say, sayFault } from "../parts/say";
import { Figure } from "../parts/where";
import { InIt, sizesWord } from "./dish";
import { nameAmong } from "./recount-sheet";

interface DishProps {
  room: Room;
  view: View;
  dish: Dish;
  onDone: () => void;
  onRecount: (bySize: boolean) => void;
  onClose: () => void;
}

/** The acts on one dish. */
export function DishSheet({ room, view, dish, onDone, onRecount, onClose }: DishProps): JSX.Element {
  const [wrong, setWrong] = useState("");
  const [sure, setSure] = useState(false);
  const [shown, show] = useState(false);
  const [busy, run] = useBusy();
  const close = async (): Promise<void> => {
    if (dish.total !== 0 && !sure) {
      setSure(true);
      return;
    }
    const { fault } = await room.tap({ kind: "dish closed", dish: dish.ref });
    if (fault) setWrong(sayFault(fault));
    else onClose();
  };
  return (
    <Dialog title={nameAmong(view, dish)} onClose={onClose}>
      <p>
        {sizesWord(dish.size)} · {say("dish.since", { time: clock(dish.openedMs) })}
      </p>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {dish.closed ? <p class="quiet">{say("dish.closedWhy")}</p> : null}
      <div class="acts">
        <button type="button" class="do first" onClick={() => onRecount(false)}>
          {say("dish.recount")}
        </button>
        {dish.size === 0 ? (
          <button type="button" class="do" onClick={() => onRecount(true)}>
            {say("dish.recountBySize")}
          </button>
        ) : null}
        {dish.closed ? null : (
          <button type="button" class="do" onClick={onDone}>
            {say("dish.doneDo")}
          </button>
        )}
      </div>
      {shown ? (
        <>
          <p>
            <Figure room={room} of="dish" at={dish.ref} alone>
              {say("dish.holds", { n: dish.total })}
            </Figure>
          </p>
          {dish.size === 0 ? <InIt dish={dish} /> : null}
        </>
      ) : (
        <button type="button" class="do" onClick={() => show(true)}>
          {say("dish.show")}
        </button>
      )}
      {dish.closed ? null : (
        <>
          {sure ? <p class="warn">{say("dish.notEmpty", { n: dish.total })}</p> : null}
          <button type="button" class="do" disabled={busy} onClick={() => run(close)}>
            {say(sure ? "dish.closeStill" : "dish.close")}
          </button>
        </>
      )}
    </Dialog>
  );
}
