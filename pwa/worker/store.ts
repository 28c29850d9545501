// What this phone keeps: who it is, its own events, and those of others as
// they came. A connection that the browser lost is opened again.
import { type DBSchema, type IDBPDatabase, openDB } from "idb";
import type { Joined } from "../bridge/messages";

/** Everything that is needed to go on after a restart. */
export interface Me extends Joined {
  phone: string;
  replica: string;
  token: string;
  expiresMs: number;
  secret: string;
  was?: string; // the id under which this phone counted before
  heardMs?: number; // when a server was last heard
  heard?: Uint8Array; // what it said is stored
  epoch?: Uint8Array; // which server database said so
  mark?: string; // of the newest start; the page keeps it too
  seen?: string; // what the page had at that start: it writes after this store does
}

/** An own event, the session that it counts in and the id that it was written under. */
export interface Written {
  session: string;
  replica: string;
  seq: number;
  body: Uint8Array;
}

export type Face = "phone" | "office" | "practice";

interface Kept extends DBSchema {
  me: { key: Face; value: Me };
  counts: { key: number; value: { session: string; body: Uint8Array }; indexes: { session: string } };
  others: { key: number; value: Batch; indexes: { session: string } };
}

/** Others' events that came together; versions before kept each by itself. */
type Batch = { session: string; bodies: Uint8Array[] } | { session: string; body: Uint8Array };

/** What a phone keeps of practice lies in a database of its own: neither is ever read for the other. */
let name = "rootledger";
export const practiseApart = (): void => {
  name = "rootledger-practice";
};

let opening: Promise<IDBPDatabase<Kept>> | null = null;

function database(): Promise<IDBPDatabase<Kept>> {
  opening ??= openDB<Kept>(name, 1, {
    upgrade(db) {
      db.createObjectStore("me");
      // Own counts in the order of writing: no key of their own, so that two pages
      // on one phone never write over each other.
      db.createObjectStore("counts", { autoIncrement: true }).createIndex("session", "session");
      db.createObjectStore("others", { autoIncrement: true }).createIndex("session", "session");
    },
    terminated() {
      opening = null;
    },
    blocking(_current, _blocked, event) {
      (event.target as IDBDatabase).close();
      opening = null;
    },
  }).catch((error: unknown) => {
    opening = null;
    throw error;
  });
  return opening;
}

/** Runs work on the database, once more on a new connection if the first was lost. */
async function reach<T>(work: (db: IDBPDatabase<Kept>) => Promise<T>): Promise<T> {
  try {
    return await work(await database());
  } catch (error) {
    if (!(error instanceof DOMException) || error.name !== "InvalidStateError") throw error;
    opening = null;
    return work(await database());
  }
}

export const readMe = (face: Face): Promise<Me | undefined> => reach((db) => db.get("me", face));
export const writeMe = (face: Face, me: Me): Promise<void> =>
  reach(async (db) => {
    await db.put("me", me, face);
  });
export const forgetMe = (face: Face): Promise<void> => reach((db) => db.delete("me", face));

/** Takes everything away, of practice only. */
export const forgetAll = (): Promise<void> =>
  reach(async (db) => {
    if (name === "rootledger") return;
    for (const store of ["me", "counts", "others"] as const) await db.clear(store);
  });

/** Keeps own events: when it returns they survive a crash of this phone. */
export const keepOwn = (events: Written[]): Promise<void> =>
  reach(async (db) => {
    const t = db.transaction("counts", "readwrite", { durability: "strict" });
    for (const e of events) void t.store.put({ session: e.session, body: e.body });
    await t.done;
  });

/** Keeps others' events; losing them costs a download, except of those that were carried in by hand. */
export const keepOthers = (session: string, bodies: Uint8Array[], durability: "relaxed" | "strict"): Promise<void> =>
  reach(async (db) => {
    const t = db.transaction("others", "readwrite", { durability });
    void t.store.put({ session, bodies });
    await t.done;
  });

/** All events of a session: own ones of every replica id in order, and others'. */
export const readEvents = (session: string): Promise<{ own: Uint8Array[]; others: Uint8Array[] }> =>
  reach(async (db) => {
    const own = await db.getAllFromIndex("counts", "session", session);
    const others = await db.getAllFromIndex("others", "session", session);
    return { own: own.map((one) => one.body), others: others.flatMap((one) => ("bodies" in one ? one.bodies : [one.body])) };
  });
