// How sessions are called.
import { say } from "../parts/say";

/** A session by its room and its case code, which it has once it is opened. */
export const nameOf = (room: string, code: string): string =>
  code === "" ? say("office.room-only", { room }) : say("office.room-case", { room, case: code });
