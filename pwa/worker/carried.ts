// Files of other phones: no server may have these counts, so they are kept for
// good, and what came of it is told only then.
import type { FromWorker } from "../bridge/messages";
import * as engine from "./engine";
import * as store from "./store";

/** Carried events that the disk refused; each try takes them along. */
let owed: { session: string; body: Uint8Array }[] = [];

/** Takes a file in; what else follows from it is for carryOut. */
export async function carryIn(id: number, file: Uint8Array, session: string, carryOut: (d: engine.Duties) => void): Promise<FromWorker> {
  const { others, answers, ...rest } = engine.carryIn(id, file);
  owed.push(...others.map((body) => ({ session, body })));
  carryOut({ ...rest, others: [], answers: [] });
  let fault = answers.find((a) => a.id === id)?.fault ?? null;
  const batch = owed;
  owed = [];
  try {
    for (const of of new Set(batch.map((one) => one.session))) {
      const bodies = batch.filter((one) => one.session === of).map((one) => one.body);
      await store.keepOthers(of, bodies, "strict");
    }
  } catch {
    owed.push(...batch);
    fault = { code: "carried-memory", args: {} };
  }
  return { tell: "carried", id, carried: rest.carried, fault };
}
