// One dish on the desk: done, counted again, or closed.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Dish, View } from "../../bridge/protocol.gen";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { clock, say, sayCount, sayFault } from "../parts/say";
import { Figure } from "../parts/where";
import { dishName, InIt, sizesWord } from "./dish";

interface DishProps {
  room: Room;
  view: View;
  dish: Dish;
  onDone: () => void;
  onRecount: (bySize: boolean) => void;
  onClose: () => void;
}

/** The acts on one dish. */
export function DishSheet({ room, dish, onDone, onRecount, onClose }: DishProps): JSX.Element {
  const [wrong, setWrong] = useState("");
  const [sure, setSure] = useState(false);
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
    <Dialog title={dishName(dish)} onClose={onClose}>
      <p>
        {sizesWord(dish.size)} ·{" "}
        <Figure room={room} of="dish" at={dish.ref}>
          {say("dish.holds", { n: dish.total })}
        </Figure>{" "}
        · {say("dish.since", { time: clock(dish.openedMs) })}
      </p>
      {dish.size === 0 ? <InIt dish={dish} /> : null}
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {dish.closed ? (
        <p class="quiet">{say("dish.closedWhy")}</p>
      ) : (
        <button type="button" class="do first" onClick={onDone}>
          {say("dish.doneDo")}
        </button>
      )}
      <div class="acts">
        <button type="button" class="do" onClick={() => onRecount(false)}>
          {say("dish.recount")}
        </button>
        {dish.size === 0 ? (
          <button type="button" class="do" onClick={() => onRecount(true)}>
            {say("dish.recountBySize")}
          </button>
        ) : null}
      </div>
      {dish.closed ? null : (
        <>
          {sure ? <p class="warn">{sayCount("dish.notEmptyOne", "dish.notEmpty", dish.total)}</p> : null}
          <button type="button" class="do" onClick={() => void close()}>
            {say(sure ? "dish.closeStill" : "dish.close")}
          </button>
        </>
      )}
    </Dialog>
  );
}
