// The time, for screens that tell it.
import { useEffect, useState } from "preact/hooks";

/** The time, once a second. */
export function useNow(everyMs = 1000): number {
  const [now, set] = useState(Date.now());
  useEffect(() => {
    const timer = setInterval(() => set(Date.now()), everyMs);
    return () => clearInterval(timer);
  }, [everyMs]);
  return now;
}
