// The mark of a start: kept by this page and by the worker's own store. Where
// they disagree, one of the two was set back, and whatever it had may go on
// elsewhere.
export type Face = "phone" | "office" | "practice";

const key = (face: Face): string => `rootledger.mark.${face}`;

/** What the last start wrote, "" for nothing; null where a page can not write. */
export function readMark(face: Face): string | null {
  try {
    const mark = localStorage.getItem(key(face)) ?? "";
    localStorage.setItem(key(face), mark);
    return mark;
  } catch {
    return null;
  }
}

/** A new one. */
export const freshMark = (): string => Array.from(crypto.getRandomValues(new Uint32Array(2)), (n) => n.toString(36)).join("-");

/** Writes the mark of this start, once the worker has it. */
export function writeMark(face: Face, mark: string): void {
  try {
    localStorage.setItem(key(face), mark);
  } catch {
    // full since it was read: the worker also knows the mark before
  }
}
