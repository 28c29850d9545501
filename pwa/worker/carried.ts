// Files of other phones: no server has these counts, so they are kept for good
// before anybody is told that they are here.
import type { FromWorker } from "../bridge/messages";
import * as engine from "./engine";
import * as store from "./store";

/** Carried events that the disk refused; each try takes them along. */
let owed: Uint8Array[] = [];

/** Takes a file in; what else follows from it is for carryOut. */
export async function carryIn(id: number, file: Uint8Array, session: string, carryOut: (d: engine.Duties) => void): Promise<FromWorker> {
  const { others, answers, ...rest } = engine.carryIn(id, file);
  owed.push(...others);
  carryOut({ ...rest, others: [], answers: [] });
  let fault = answers.find((a) => a.id === id)?.fault ?? null;
  const batch = owed;
  owed = [];
  try {
    if (batch.length > 0) await store.keepOthers(session, batch, "strict");
  } catch {
    owed.push(...batch);
    fault = { code: "carried-memory", args: {} };
  }
  return { tell: "carried", id, carried: rest.carried, fault };
}
