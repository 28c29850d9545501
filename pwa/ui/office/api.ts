// The server's HTTP side, as the office uses it.
import type { Fault, RoomNow, Sight } from "../../bridge/messages";
import { say, sayFault } from "../parts/say";

/** One session in the list. Times in ms since 1970, 0 for not yet. */
export interface SessionRow {
  session: string;
  room: string;
  case: string;
  practice: boolean;
  createdMs: number;
  openedMs: number;
  endedMs: number;
  refilledMs: number; // since when the office lets phones bring back what anyone wrote
  olderMs: number; // since when the server is known to have less than it told: phones bring counts back
}

/** Entries from..to under one replica id that are missing; person and station are empty when nothing that is here says. */
export interface Gap {
  replica: string;
  person: string;
  station: string;
  from: number;
  to: number;
}

/** What is missing of a session that is refilled. */
export interface Gaps {
  refilledMs: number;
  olderMs: number;
  gaps: Gap[];
}

/** Why the server did not do it: a code to act on, and words to show. */
export class Refusal extends Error {
  constructor(
    readonly code: string,
    readonly words: string,
    readonly args: Readonly<Record<string, string>> = {},
  ) {
    super(code);
  }
}

/** What a person reads of an error of this page. */
export function wordsOf(error: unknown): string {
  return error instanceof Refusal ? error.words : say("office.broken");
}

/** Asks the server as the office; with a body it is told something. */
export async function call(token: string, path: string, body?: unknown): Promise<Response> {
  const headers: Record<string, string> = { Authorization: `Bearer ${token}` };
  if (body !== undefined) headers["Content-Type"] = "application/json";
  let response: Response;
  try {
    response = await fetch(path, { headers, ...(body === undefined ? {} : { method: "POST", body: JSON.stringify(body) }) });
  } catch {
    throw new Refusal("unreachable", say("office.unreachable"));
  }
  if (response.ok) return response;
  const answer = (await response.json().catch(() => null)) as { code?: unknown; message?: unknown; args?: Record<string, string> } | null;
  const code = typeof answer?.code === "string" ? answer.code : "internal";
  const fault: Fault = { code, args: {} };
  throw new Refusal(code, typeof answer?.message === "string" ? answer.message : sayFault(fault), answer?.args);
}

/** The newest sessions first. */
export async function listSessions(token: string): Promise<SessionRow[]> {
  return (await call(token, "/api/sessions")).json() as Promise<SessionRow[]>;
}

/** Makes room for a session, with refill one that the server lost; doing it twice is no error. */
export async function createSession(token: string, session: string, room: string, refill: boolean): Promise<void> {
  await call(token, "/api/sessions", { session, room, refill });
}

export async function gapsOf(token: string, session: string): Promise<Gaps> {
  return (await call(token, `/api/sessions/${session}/gaps`)).json() as Promise<Gaps>;
}

/** From now on only those who were let in bring something. */
export async function endRefill(token: string, session: string): Promise<void> {
  await call(token, `/api/sessions/${session}/refilled`, {});
}

/** What runs in a room, with the code that lets phones in. */
export async function roomNow(token: string, room: string): Promise<RoomNow> {
  return (await call(token, `/api/rooms/${encodeURIComponent(room)}`)).json() as Promise<RoomNow>;
}

/** Says how large a room's wall is, and from how far it is read. */
export async function saveSight(token: string, room: string, sight: Sight): Promise<void> {
  await call(token, `/api/rooms/${encodeURIComponent(room)}/sight`, sight);
}

export type SheetKind = "csv" | "jsonl";

/** Saves a sheet under the name that the server gives it. */
export async function saveSheet(token: string, session: string, kind: SheetKind): Promise<void> {
  const response = await call(token, `/api/sessions/${session}/sheet.${kind}`);
  const named = /filename="?([^";]+)"?/.exec(response.headers.get("Content-Disposition") ?? "");
  const url = URL.createObjectURL(await response.blob());
  const link = document.createElement("a");
  link.href = url;
  link.download = named?.[1] ?? `sheet.${kind}`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** A new session's id: 16 random bytes in hexadecimal. */
export function newSession(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join("");
}
