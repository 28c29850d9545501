// A recount, blind: somebody counts the objects and says how many, and sees
// only then what the tallies say.
import "./rare-words";
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Dish, Ref, Stock, View } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import type { Room } from "../parts/room";
import { clock, say, sayFault } from "../parts/say";
import { Apart } from "./apart";
import { dishName, sizes, sizesWord } from "./dish";
import { Keys } from "./keys";

/** What is counted again: one stock, in all (size 0) or size by size. */
export interface Subject {
  of: Stock;
  dish: Ref;
  zone: Ref;
  sizes: readonly number[];
  name: string;
}

/** A dish's name, and since when it is open where its label is there twice. */
export function nameAmong(view: View, dish: Dish): string {
  const twice = view.dishes.some((d) => d.label === dish.label && d.ref !== dish.ref);
  return twice ? `${dishName(dish)}, ${say("dish.since", { time: clock(dish.openedMs) })}` : dishName(dish);
}

/** A dish as a subject: a mixed one can be counted by size too. */
export function dishSubject(view: View, dish: Dish, bySize = false): Subject {
  const name = nameAmong(view, dish);
  return {
    of: "holding",
    dish: dish.ref,
    zone: "",
    sizes: bySize ? sizes : [0],
    name: bySize ? say("recount.bySize", { what: name }) : name,
  };
}

const whole = (of: Stock, name: string, of0: readonly number[] = [0]): Subject => ({ of, dish: "", zone: "", sizes: of0, name });

/** The bench as a subject. */
export const benchSubject = (): Subject => whole("bench", say("recount.bench"));

function subjects(view: View): Subject[] {
  const zones = view.zones.map((z) => ({
    of: "open sites" as const,
    dish: "",
    zone: z.ref,
    sizes: sizes.filter((s) => (z.need[s - 1] ?? 0) > 0 || (z.sites[s - 1] ?? 0) > 0),
    name: say("recount.sites", { zone: z.name }),
  }));
  const dishes = view.dishes
    .filter((d) => !d.closed)
    .flatMap((d) => (d.size > 0 ? [dishSubject(view, d)] : [dishSubject(view, d), dishSubject(view, d, true)]));
  const holding = say("recount.holding");
  return [
    benchSubject(),
    ...dishes,
    whole("holding", holding),
    whole("holding", say("recount.bySize", { what: holding }), sizes),
    ...(view.session.stations.includes("sites") ? zones.filter((z) => z.sizes.length > 0) : []),
  ];
}

interface RecountProps {
  room: Room;
  view: View;
  subject: Subject | null; // null: it is asked for first
  onClose: () => void;
}

/** Asks what was counted, then how many, then compares. Each size is kept as it is entered: closing loses none. */
export function RecountSheet({ room, view, subject, onClose }: RecountProps): JSX.Element {
  const [of, setOf] = useState<Subject | null>(subject);
  const [kept, setKept] = useState<readonly Ref[]>([]); // by of.sizes
  const [failed, setFailed] = useState(0); // the number that could not be kept, while there is something wrong
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  if (!of) {
    const list = subjects(view);
    return (
      <Dialog title={say("recount.what")} onClose={onClose}>
        <ul class="choices">
          {list.map((one) => (
            <li key={[one.of, one.dish, one.zone, one.sizes.length].join(" ")}>
              <button type="button" onClick={() => setOf(one)}>
                {one.name}
              </button>
            </li>
          ))}
        </ul>
      </Dialog>
    );
  }
  const size = of.sizes[kept.length];
  const keep = async (n: number): Promise<void> => {
    const { ref, fault } = await room.tap({ kind: "recount", of: of.of, dish: of.dish, zone: of.zone, size: size ?? 0, n });
    setWrong(fault ? sayFault(fault) : "");
    if (fault) setFailed(n);
    else setKept([...kept, ref]);
  };
  return (
    <Dialog title={of.name} onClose={onClose}>
      {wrong ? (
        <>
          <p class="wrong" role="alert">
            {wrong}
          </p>
          <button type="button" class="do" disabled={busy} onClick={() => run(() => keep(failed))}>
            {say("recount.keepAgain", { n: failed })}
          </button>
        </>
      ) : null}
      {size === undefined ? (
        <Compared room={room} view={view} refs={kept} onAgain={() => setKept([])} onClose={onClose} />
      ) : (
        <Keys
          key={kept.length}
          question={size === 0 ? say("recount.howMany") : say("recount.howManySize", { size: sizesWord(size) })}
          busy={busy}
          onNumber={(n) => run(() => keep(n))}
        />
      )}
    </Dialog>
  );
}

interface ComparedProps {
  room: Room;
  view: View;
  refs: readonly Ref[];
  onAgain: () => void;
  onClose: () => void;
}

/** What was counted beside what the ledger said then, and what to do when they are apart. */
function Compared({ room, view, refs, onAgain, onClose }: ComparedProps): JSX.Element {
  const found = refs.flatMap((ref) => view.recounts.find((r) => r.ref === ref) ?? []);
  const apart = found.filter((r) => r.amount !== 0);
  const missing = apart.some((r) => r.amount > 0);
  return (
    <div class="compared" role="status">
      {found.map((r) => (
        <section class="row" key={r.ref}>
          <h3>
            {r.size > 0 ? `${sizesWord(r.size)}: ` : ""}
            {r.amount === 0 ? say("recount.agrees") : say("recount.apart", { n: Math.abs(r.amount) })}
          </h3>
          {r.amount === 0 ? <p>{say("recount.both", { n: r.counted })}</p> : <Apart room={room} ledger={r.ledger} counted={r.counted} />}
          {r.amount !== 0 ? <p>{say(`recount.${r.amount > 0 ? "missing" : "more"}`, { n: Math.abs(r.amount) })}</p> : null}
        </section>
      ))}
      {apart.length > 0 ? (
        <ol class="todo">
          <li>{say(missing ? "recount.lateMissing" : "recount.lateMore")}</li>
          <li>{say("recount.lookAgain")}</li>
          <li>{say("recount.leadSettles")}</li>
        </ol>
      ) : null}
      <div class="acts">
        {apart.length > 0 ? (
          <button type="button" class="do" onClick={onAgain}>
            {say("recount.again")}
          </button>
        ) : null}
        <button type="button" class="do first" onClick={onClose}>
          {say("recount.done")}
        </button>
      </div>
    </div>
  );
}
