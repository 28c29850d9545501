// Whether the last page ended with counts in memory only: what it wrote under its
// id may come back from elsewhere, so the next start goes on under a new one.
const lossy = "rootledger.lossy";

/** Notes that counts are in memory only: should this page end so, the next start goes on under a new id. */
export function remember(inMemory: boolean): void {
  try {
    if (inMemory) localStorage.setItem(lossy, "yes");
    else localStorage.removeItem(lossy);
  } catch {
    // no storage at all: nothing of this start is there at the next one
  }
}

/** Whether the last page ended with counts in memory only. */
export function endedLossy(): boolean {
  try {
    return localStorage.getItem(lossy) === "yes";
  } catch {
    return false;
  }
}
