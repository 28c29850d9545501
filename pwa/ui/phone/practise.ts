// The way into practice, which has an address of its own and needs no network
// once its part is here.

/** Begins practice on this page; false when that part is not on this phone yet. */
export async function practise(): Promise<boolean> {
  try {
    await import("../practice/practice-app");
  } catch {
    return false;
  }
  history.pushState(null, "", "/practice");
  dispatchEvent(new PopStateEvent("popstate"));
  return true;
}
