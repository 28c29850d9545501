// The day so far, in the office.
import "../parts/day-words";
import type { JSX } from "preact";
import type { Then } from "../../bridge/messages";
import type { View } from "../../bridge/protocol.gen";
import { DaySoFar } from "../parts/day-so-far";
import { say } from "../parts/say";
import { call, Refusal } from "./api";

export function DayCard({ token, session, view }: { token: string; session: string; view: View }): JSX.Element | null {
  if (view.flow.curve.fromMs === 0) return null;
  const ask = async (atMs: number): Promise<Then | { code: string; args: Record<string, string> }> => {
    try {
      return (await (await call(token, `/api/sessions/${session}/then?at=${atMs}`)).json()) as Then;
    } catch (error) {
      return error instanceof Refusal ? { code: error.code, args: { ...error.args } } : { code: "internal", args: {} };
    }
  };
  return (
    <section class="o-card">
      <h2>{say("day.title")}</h2>
      <DaySoFar view={view} id="office-day" ask={ask} />
    </section>
  );
}
