// Which dish fills at sorting, and which one a placer takes from.
import "./rare-words";
import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Dish, Ref, View } from "../../bridge/protocol.gen";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { count, list, say } from "../parts/say";
import type { Fills } from "./chosen";
import { dishName, InIt, sizes, sizesWord } from "./dish";
import { DishDone } from "./dish-done";
import { OpenDish } from "./open-dish";

interface FillProps {
  room: Room;
  view: View;
  fills: Fills;
  onClose: () => void;
}

/** The dishes that are open; one touch chooses what goes into one. */
export function FillSheet({ room, view, fills, onClose }: FillProps): JSX.Element {
  const [fresh, setFresh] = useState<Ref | null>(null); // "": asked for; a reference: opened, and not heard of yet
  const open = view.dishes.filter((d) => !d.closed);
  const opened = fresh ? open.find((d) => d.ref === fresh) : undefined;
  useEffect(() => {
    if (!opened) return;
    fills.choose(opened);
    onClose();
  }, [opened]);
  if (fresh === "") return <OpenDish room={room} view={view} onOpened={setFresh} onClose={onClose} />;
  const into = (dish: Dish): string => {
    const filled = sizes.filter((s) => fills.of(s)?.ref === dish.ref);
    return filled.length > 0
      ? say("fill.into", { sizes: dish.size === 0 && filled.length === sizes.length ? sizesWord(0) : list(filled.map(sizesWord)) })
      : "";
  };
  return (
    <Dialog title={say("fill.title")} onClose={onClose}>
      <ul class="choices">
        {open.map((d) => (
          <li key={d.ref}>
            <button
              type="button"
              aria-pressed={into(d) !== ""}
              onClick={() => {
                fills.choose(d);
                onClose();
              }}
            >
              <DishRow dish={d} note={into(d) || sizesWord(d.size)} />
            </button>
          </li>
        ))}
        <li>
          <button
            type="button"
            aria-pressed={sizes.every((s) => fills.of(s) === null)}
            onClick={() => {
              fills.clear();
              onClose();
            }}
          >
            {say("phone.noDish")}
          </button>
        </li>
      </ul>
      <button type="button" class="do" onClick={() => setFresh("")}>
        {say("dish.new")}
      </button>
    </Dialog>
  );
}

interface TakeProps {
  room: Room;
  view: View;
  chosen: Ref;
  onChoose: (ref: Ref) => void;
  onClose: () => void;
}

/** The dishes that a placer can take from, and the end of the one taken from. */
export function TakeSheet({ room, view, chosen, onChoose, onClose }: TakeProps): JSX.Element {
  const [done, setDone] = useState<Dish | null>(null);
  const open = view.dishes.filter((d) => !d.closed);
  const now = open.find((d) => d.ref === chosen);
  if (done) return <DishDone room={room} view={view} dish={done} onClose={onClose} />;
  const choose = (ref: Ref): void => {
    onChoose(ref);
    onClose();
  };
  return (
    <Dialog title={say("take.title")} onClose={onClose}>
      {now ? (
        <button type="button" class="do first" onClick={() => setDone(now)}>
          {say("dish.doneOf", { dish: dishName(now) })}
        </button>
      ) : null}
      {open.length === 0 ? <p class="quiet">{say("take.nothing")}</p> : null}
      <ul class="choices">
        {open.map((d) => (
          <li key={d.ref}>
            <button type="button" aria-pressed={d.ref === chosen} onClick={() => choose(d.ref)}>
              <DishRow dish={d} note={sizesWord(d.size)} />
            </button>
          </li>
        ))}
        <li>
          <button type="button" aria-pressed={chosen === ""} onClick={() => choose("")}>
            {say("phone.noDish")}
          </button>
        </li>
      </ul>
    </Dialog>
  );
}

function DishRow({ dish, note }: { dish: Dish; note: string }): JSX.Element {
  return (
    <span class="dishrow">
      <span>{dishName(dish)}</span>
      <span class="quiet">{note}</span>
      <b>{count(dish.total)}</b>
      {dish.size === 0 ? <InIt dish={dish} /> : null}
    </span>
  );
}
