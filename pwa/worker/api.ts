// The server's HTTP side, as a phone and a wall use it.
import type { Fault, Joining, RoomNow } from "../bridge/messages";
import { randomHex } from "./engine";

/** A fault that the server answered, or "unreachable". */
export class Refused extends Error {
  constructor(readonly fault: Fault) {
    super(fault.code);
  }
}

export interface Grant {
  session: string;
  room: string;
  token: string;
  expiresMs: number;
  secret: string;
}

/** A network that swallows what it is given must not hold up the next try. */
const answerMsMax = 10_000;

export async function ask<T>(path: string, body?: unknown, token?: string): Promise<T> {
  let response: Response;
  try {
    response = await fetch(path, {
      signal: AbortSignal.timeout(answerMsMax),
      headers: { "Content-Type": "application/json", ...(token ? { Authorization: `Bearer ${token}` } : {}) },
      ...(body === undefined ? {} : { method: "POST", body: JSON.stringify(body) }),
    });
  } catch {
    throw new Refused({ code: "unreachable", args: {} });
  }
  const answer: unknown = await response.json().catch(() => null);
  if (response.ok && answer !== null) return answer as T;
  const said = answer as { code?: string; args?: Record<string, string> } | null;
  throw new Refused({ code: said?.code ?? "internal", args: said?.args ?? {} });
}

const join = (how: Joining, phone: string, replica: string): Promise<Grant> =>
  ask("/api/join", { code: how.code, office: how.office, session: how.session, phone, replica });

/** Who asks: a phone, under one of its ids. */
interface Asking {
  session: string;
  phone: string;
  replica: string;
  secret: string;
}

export const renew = ({ session, secret, phone, replica }: Asking): Promise<Grant> =>
  ask("/api/token", { session, secret, phone, replica });

/** Who a phone is in a session that let it in. */
export type Entered = Grant & Pick<Asking, "phone" | "replica"> & { was?: string };

/**
 * Lets a phone into a session. In the one that it counts in already it keeps
 * its id, unless the server knows that id with another secret: then the new id
 * names the old one.
 */
export async function enter(how: Joining, me: Asking | null): Promise<Entered> {
  const phone = me?.phone ?? randomHex(16);
  const replica = randomHex(8);
  const grant = await join(how, phone, replica);
  if (!me || me.session !== grant.session) return { ...grant, phone, replica };
  for (const secret of how.office ? [grant.secret] : [me.secret, grant.secret]) {
    try {
      return { ...(await renew({ ...me, secret })), phone, replica: me.replica };
    } catch (error) {
      if (!(error instanceof Refused) || error.fault.code === "unreachable") throw error;
    }
  }
  return { ...grant, phone, replica, was: me.replica };
}

/** What runs in a room; null when nothing ever did. */
export async function roomNow(room: string): Promise<RoomNow | null> {
  try {
    return await ask<RoomNow>(`/api/rooms/${encodeURIComponent(room)}`);
  } catch (error) {
    if (error instanceof Refused && error.fault.code === "session-missing") return null;
    throw error;
  }
}
