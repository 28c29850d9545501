// What a lead asks of the room's server itself, with the token of its own phone.
import type { Fault, FromWorker, Then, ToWorker } from "../bridge/messages";
import { ask, Refused } from "./api";
import type { Me } from "./store";

type Asked = Extract<ToWorker, { do: "sight" | "day" }>;

const faultOf = (error: unknown): Fault => (error instanceof Refused ? error.fault : { code: "internal", args: {} });

/** Asks, and answers the page. */
export async function asLead(m: Asked, me: Me | null, token: Promise<string>): Promise<FromWorker> {
  try {
    const mine = await token;
    if (m.do === "day")
      return { tell: "day", id: m.id, day: await ask<Then>(`/api/sessions/${me?.session}/then?at=${m.atMs}`, undefined, mine) };
    await ask(`/api/rooms/${encodeURIComponent(me?.room ?? "")}/sight`, m.sight, mine);
    return { tell: "answer", id: m.id, ref: "", fault: null };
  } catch (error) {
    const fault = faultOf(error);
    return m.do === "day" ? { tell: "day", id: m.id, day: fault } : { tell: "answer", id: m.id, ref: "", fault };
  }
}
