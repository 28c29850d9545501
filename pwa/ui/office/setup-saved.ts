// The clinic's own set-ups, as the server keeps them: what the event says, and
// since when.
import type { Fact, Motion, Setup } from "../../bridge/protocol.gen";
import type { Room } from "../parts/room";
import { call } from "./api";

/** One saved set-up; its lists are as long as motions. Times in ms since 1970, 0 for not. */
export interface Saved {
  id: number; // 0 for a new one
  name: string;
  diameterUm: number;
  edge: string;
  waitMs: number;
  motions: Motion[];
  arcsDeg: number[];
  rpm: number[];
  powerPercent: number[];
  stepsMs: number[];
  savedMs: number;
  retiredMs: number;
}

type Said = Extract<Fact, { kind: "setup" }>;

/** What puts it into a session, in the place of another one where that is named. */
export const factOf = ({ name, diameterUm, edge, waitMs, motions, arcsDeg, rpm, powerPercent, stepsMs }: Saved, replaces = ""): Said => ({
  kind: "setup",
  name,
  diameterUm,
  edge,
  waitMs,
  motions,
  arcsDeg,
  rpm,
  powerPercent,
  stepsMs,
  ...(replaces === "" ? {} : { replaces }),
});

export async function listSetups(token: string): Promise<Saved[]> {
  return (await call(token, "/api/setups")).json() as Promise<Saved[]>;
}

/** Keeps a new one for id 0, else another state of the one with that id. */
export async function saveSetup(token: string, of: Saved): Promise<Saved> {
  return (await call(token, "/api/setups", of)).json() as Promise<Saved>;
}

/** Takes one out of use; sessions that have it keep it. */
export async function retireSetup(token: string, id: number): Promise<void> {
  await call(token, `/api/setups/${id}/retired`, {});
}

/** What follows from each of them, as the engine works it out; one that can not be drawn is left out. */
export async function draftsOf(room: Room, all: readonly Saved[]): Promise<Map<number, Setup>> {
  const drafts = await Promise.all(all.map((one) => room.setup(factOf(one))));
  return new Map(all.flatMap((one, i) => (drafts[i]?.setup ? [[one.id, drafts[i].setup] as const] : [])));
}
