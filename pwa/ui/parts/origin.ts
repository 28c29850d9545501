// The address under which phones reach the server. A page on the server's own
// machine has another one, which is no good to them.
import type { RoomNow } from "../../bridge/messages";

const loopback = /^(localhost|127\.|\[::1\])/;

/** What phones open, and whether they can reach it. */
export function originFor(now: RoomNow | null): { origin: string; reached: boolean } {
  if (!loopback.test(location.host)) return { origin: location.origin, reached: true };
  return now?.address ? { origin: now.address, reached: true } : { origin: location.origin, reached: false };
}
