// The list of sessions, asked for again and again while this page is looked at.
import { useEffect, useState } from "preact/hooks";
import { listSessions, Refusal, type SessionRow, wordsOf } from "./api";

export interface Sessions {
  rows: SessionRow[] | null; // null until the server has answered
  problem: string;
  refused: string; // the link is no good
  again: () => void;
}

const everyMs = 10_000;

export function useSessions(token: string): Sessions {
  const [rows, setRows] = useState<SessionRow[] | null>(null);
  const [problem, setProblem] = useState("");
  const [refused, setRefused] = useState("");
  const look = (): void => {
    listSessions(token).then(
      (list) => {
        setRows(list);
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
  return { rows, problem, refused, again: look };
}
