// How a phone is asked to join: by a code in the page's address, or by a lead's
// link, whose secret leaves the address line at once.

export interface Invite {
  code: string; // of the wall, or empty
  office: string; // the secret of a lead's link, or empty
  session: string; // that the link is for
}

export const nobodysInvite: Invite = { code: "", office: "", session: "" };

/** Reads the page's address, and leaves no secret in it. */
export function readInvite(): Invite {
  const [, first = "", second = ""] = location.pathname.split("/");
  if (first !== "join") return nobodysInvite;
  const office = location.hash.slice(1);
  const invite = { code: decodeURIComponent(second), office, session: new URLSearchParams(location.search).get("session") ?? "" };
  if (office !== "") history.replaceState(null, "", "/");
  return invite;
}
