// Who sits here: remembered by this browser, asked for once.
import { useState } from "preact/hooks";

const kept = "rootledger-office-person";

export function usePerson(): [string, (name: string) => void] {
  const [name, set] = useState(() => localStorage.getItem(kept) ?? "");
  return [
    name,
    (next) => {
      localStorage.setItem(kept, next);
      set(next);
    },
  ];
}
