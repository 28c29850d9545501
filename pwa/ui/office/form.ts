// What is typed into a form, what is wrong with it, and saying it to the room.
import { useEffect, useRef, useState } from "preact/hooks";
import type { Fault } from "../../bridge/messages";
import type { Fact } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { type Key, say, sayFault } from "../parts/say";

type Words<K extends string> = Partial<Record<K | "form", string>>;

export interface Form<K extends string> {
  values: Record<K, string>;
  errors: Words<K>;
  busy: boolean;
  kept: boolean; // the last thing said is kept
  type(field: K): (value: string) => void;
  fill(values: Record<K, string>): void;
  wrong(errors: Words<K>): void;
  run(work: () => Promise<Words<K> | null>): Promise<boolean>;
}

/**
 * A form by its first values, which it follows until somebody types. Typing
 * into a field takes its error away.
 */
export function useForm<K extends string>(first: Record<K, string>): Form<K> {
  const [values, setValues] = useState(first);
  const [errors, setErrors] = useState<Words<K>>({});
  const [busy, setBusy] = useState(false);
  const [kept, setKept] = useState(false);
  const touched = useRef(false);
  useEffect(() => {
    if (!touched.current) setValues(first);
  }, [JSON.stringify(first)]);
  return {
    values,
    errors,
    busy,
    kept,
    type: (field) => (value) => {
      touched.current = true;
      setValues((v) => ({ ...v, [field]: value }));
      setErrors((e) => ({ ...e, [field]: "", form: "" }));
      setKept(false);
    },
    fill: (v) => {
      setValues(v);
      setErrors({});
    },
    wrong: setErrors,
    async run(work) {
      setBusy(true);
      setErrors((e) => ({ ...e, form: "" })); // it is tried again
      const errors = await work();
      setBusy(false);
      setErrors(errors ?? {});
      setKept(errors === null);
      if (errors === null) touched.current = false;
      return errors === null;
    },
  };
}

/** Which field a fault is about, by its code or by the name that the engine gives the field. */
export type Owners<K extends string> = Readonly<Record<string, K>>;

/** The errors that a fault makes. Ranges are said in the units of the field. */
export function errorsOf<K extends string>(fault: Fault, owners: Owners<K>, ranges: Partial<Record<K, Key>> = {}): Words<K> {
  const owner = owners[fault.code] ?? owners[fault.args.field ?? ""];
  if (owner === undefined) return { form: sayFault(fault) } as Words<K>;
  const range = fault.code === "number-range" ? ranges[owner] : undefined;
  return { [owner]: range ? say(range) : sayFault(fault) } as Words<K>;
}

/** Says a fact; null when it is kept. */
export async function tell<K extends string>(
  room: Room,
  fact: Fact,
  owners: Owners<K>,
  ranges: Partial<Record<K, Key>> = {},
): Promise<Words<K> | null> {
  const { fault } = await room.tap(fact);
  return fault ? errorsOf(fault, owners, ranges) : null;
}
