// What a code that was scanned says: an invitation to this room, one of another
// address that a person has to confirm, or nothing that can be joined by.
import { type Invite, inviteIn, nobodysInvite } from "../phone/invite";

export type Scanned = { kind: "here"; invite: Invite } | { kind: "elsewhere"; address: URL; invite: Invite } | { kind: "none" };

const bare = /^[A-Z0-9]{4}[ -]?[A-Z0-9]{4}$/i;

/** Reads a scanned text; here is the origin of this page. */
export function readScanned(text: string, here: string): Scanned {
  if (bare.test(text.trim())) return { kind: "here", invite: { ...nobodysInvite, code: text.trim() } };
  const address = addressOf(text);
  if (!address) return { kind: "none" };
  const invite = readable(address);
  if (!/^https?:$/.test(address.protocol) || (invite.code === "" && invite.office === "")) return { kind: "none" };
  return address.origin === here ? { kind: "here", invite } : { kind: "elsewhere", address, invite };
}

function addressOf(text: string): URL | null {
  try {
    return new URL(text);
  } catch {
    return null;
  }
}

function readable(address: URL): Invite {
  try {
    return inviteIn(address);
  } catch {
    return nobodysInvite; // its code is no text
  }
}
