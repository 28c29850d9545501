// The list of sessions, asked for again and again while this page is looked at.
import { useEffect, useState } from "preact/hooks";
import { listSessions, Refusal, type SessionRow, wordsOf } from "./api";

export interface Sessions {
  rows: SessionRow[] | null; // null until the server has answered
  asked: number; // when rows were asked for, by performance.now
  problem: string;
  refused: string; // the link is no good
  again: () => void;
}

const everyMs = 10_000;

export function useSessions(token: string): Sessions {
  const [{ rows, asked }, setRows] = useState<Pick<Sessions, "rows" | "asked">>({ rows: null, asked: 0 });
  const [problem, setProblem] = useState("");
  const [refused, setRefused] = useState("");
  const look = (): void => {
    const asked = performance.now();
    listSessions(token).then(
      (rows) => {
        setRows((was) => (asked < was.asked ? was : { rows, asked })); // answers may overtake each other
        setProblem("");
      },
      (error: unknown) => {
        setProblem(wordsOf(error));
        if (error instanceof Refusal && error.code === "office-token") setRefused(error.words);
      },
    );
  };
  useEffect(() => {
    const seen = (): void => {
      if (document.visibilityState === "visible") look();
    };
    look();
    const timer = setInterval(seen, everyMs);
    document.addEventListener("visibilitychange", seen);
    return () => {
      clearInterval(timer);
      document.removeEventListener("visibilitychange", seen);
    };
  }, [token]);
  return { rows, asked, problem, refused, again: look };
}
