// The server's HTTP side, as a phone and a wall use it.
import type { Fault, Joining, RoomNow } from "../bridge/messages";

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

async function ask<T>(path: string, body?: unknown): Promise<T> {
  let response: Response;
  try {
    response = await fetch(
      path,
      body === undefined ? {} : { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) },
    );
  } catch {
    throw new Refused({ code: "unreachable", args: {} });
  }
  const answer: unknown = await response.json().catch(() => null);
  if (response.ok && answer !== null) return answer as T;
  const said = answer as { code?: string; args?: Record<string, string> } | null;
  throw new Refused({ code: said?.code ?? "internal", args: said?.args ?? {} });
}

export const join = (how: Joining, phone: string, replica: string): Promise<Grant> =>
  ask("/api/join", { code: how.code, office: how.office, session: how.session, phone, replica });

export const renew = (me: { session: string; secret: string; phone: string; replica: string }): Promise<Grant> =>
  ask("/api/token", { session: me.session, secret: me.secret, phone: me.phone, replica: me.replica });

/** What runs in a room; null when nothing ever did. */
export async function roomNow(room: string): Promise<RoomNow | null> {
  try {
    return await ask<RoomNow>(`/api/rooms/${encodeURIComponent(room)}`);
  } catch (error) {
    if (error instanceof Refused && error.fault.code === "session-missing") return null;
    throw error;
  }
}
