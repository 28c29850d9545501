// How a phone is asked to join: by a code in an address, or by a lead's link,
// whose secret leaves the address line at once.

export interface Invite {
  code: string; // of the wall, or empty
  office: string; // the secret of a lead's link, or empty
  session: string; // that the link is for
}

export const nobodysInvite: Invite = { code: "", office: "", session: "" };

/** What an address asks for; nothing when it is not one to join by. */
export function inviteIn({ pathname, search, hash }: Pick<URL, "pathname" | "search" | "hash">): Invite {
  const [, first = "", second = ""] = pathname.split("/");
  if (first !== "join") return nobodysInvite;
  return { code: decodeURIComponent(second), office: hash.slice(1), session: new URLSearchParams(search).get("session") ?? "" };
}

/** Reads the page's address, and leaves no secret in it. */
export function readInvite(): Invite {
  const invite = inviteIn(location);
  if (invite.office !== "") history.replaceState(null, "", "/");
  return invite;
}
