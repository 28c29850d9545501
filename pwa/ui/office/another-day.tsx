// Another day of a case that has ended: a new session with the plan that this
// one leaves, which can be looked through and changed before anything counts.
import { Fragment, type JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import type { Joined } from "../../bridge/messages";
import type { Continued, Fact, View } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { count, dayOf, type Key, say, sayFault, type Under } from "../parts/say";
import { createSession, newSession, wordsOf } from "./api";
import { KeepForm } from "./card";
import { Field } from "./field";
import { useForm } from "./form";
import { checkLabels } from "./start";
import { enter } from "./today";

/** What is said to the new session, in this order. */
function factsOf(rest: Continued, view: View, labels: { case: string; room: string }): Fact[] {
  const { regions, zones, yieldPM, floorX10, budget } = rest;
  const from = { case: view.session.case, day: dayOf(view.session.openedMs), punched: rest.punched, placed: rest.placed };
  return [
    { kind: "opened", ...labels, stations: view.session.stations },
    ...regions.map((r): Fact => ({ kind: "region", ...r })),
    ...zones.map(({ name, areaMm2, density10, mixPerMille }): Fact => ({ kind: "zone", name, areaMm2, density10, mixPerMille })),
    ...(yieldPM > 0 ? [{ kind: "yield", perMille: yieldPM } as Fact] : []),
    ...(floorX10 > 0 ? [{ kind: "floor", hairsPerCm2x10: floorX10 } as Fact] : []),
    ...(budget > 0 ? [{ kind: "budget", grafts: budget, reason: "" } as Fact] : []),
    { kind: "note", text: say("office.day-note", from) },
  ];
}

interface AnotherDayProps {
  room: Room;
  view: View;
  joined: Joined;
  token: string;
  onProblem: (session: string, words: string) => void; // of the new session: this card is gone by then
}

export function AnotherDay({ room, view, joined, token, onProblem }: AnotherDayProps): JSX.Element | null {
  const [rest, setRest] = useState<Continued | null>(null);
  const form = useForm({ case: view.session.case, room: joined.room });
  const made = useRef(newSession()).current; // a second try goes on with the same
  useEffect(() => {
    let over = false;
    void room.continued().then((got) => !over && setRest(got));
    return () => {
      over = true;
    };
  }, [room, view]);
  if (!rest) return null;
  const start = async (): Promise<Record<string, string> | null> => {
    const labels = { case: form.values.case.trim(), room: form.values.room.trim() };
    const wrong = checkLabels({ ...labels, stations: view.session.stations.join(" ") });
    if (wrong) return wrong;
    try {
      await createSession(token, made, labels.room, false);
    } catch (error) {
      return { form: wordsOf(error) };
    }
    const facts = factsOf(rest, view, labels);
    const why = await enter(room, token, made, joined.person);
    if (why !== null) return { form: why };
    const wrongs: string[] = [];
    for (const fact of facts) {
      const { fault } = room.shown.joined?.session === made ? await room.tap(fact) : { fault: { code: "stopped", args: {} } };
      if (fault) wrongs.push(sayFault(fault));
    }
    if (wrongs.length > 0) onProblem(made, say("office.day-part", { why: wrongs.join(" ") }));
    return null;
  };
  return (
    <section class="o-card">
      <h2>{say("office.day")}</h2>
      <p>{say("office.day-what")}</p>
      <Rest rest={rest} />
      {cautions(rest, view).map((words) => (
        <p key={words} class="o-warn">
          {words}
        </p>
      ))}
      <KeepForm keep={say("office.day-do")} kept={false} busy={form.busy} error={form.errors.form} onKeep={() => void form.run(start)}>
        <div class="o-row">
          <Field label={say("office.case-code")} value={form.values.case} most={16} error={form.errors.case} onInput={form.type("case")} />
          <Field label={say("office.room")} value={form.values.room} most={16} error={form.errors.room} onInput={form.type("room")} />
        </div>
      </KeepForm>
      <p class="quiet">{say("office.day-look")}</p>
    </section>
  );
}

/** What the plan of the other day will say. */
function Rest({ rest }: { rest: Continued }): JSX.Element {
  const rows: [string, number][] = [
    ...rest.regions.map((r): [string, number] => [say("office.day-harvested", { region: r.name }), r.harvested]),
    ...rest.zones.map((z): [string, number] => [say("office.day-left", { zone: z.name }), z.leftTotal]),
    [say("office.day-budget"), rest.budget],
  ];
  return (
    <dl class="o-pairs">
      {rows.map(([words, n]) => (
        <Fragment key={words}>
          <dt>{words}</dt>
          <dd>{count(n)}</dd>
        </Fragment>
      ))}
    </dl>
  );
}

/** What that plan can not know. */
function cautions({ out, dropped, tooFew, nowhere, blind }: Continued, { phones, conflicts }: View): string[] {
  const all: [Key, number][] = [
    ["office.day-away", phones.filter((p) => !p.nothingUnsent).length],
    ["office.day-between", conflicts.length],
    ["office.day-out", out],
    ["office.day-few", tooFew],
    ["office.day-dropped", dropped],
    ["office.day-nowhere", nowhere],
  ];
  return [
    ...all.filter(([, n]) => n > 0).map(([key, n]) => say(key as "office.day-dropped", { n })),
    ...blind.map((station) => say("office.day-blind", { station: say(`station.${station}` as Under<"station.">) })),
  ];
}
