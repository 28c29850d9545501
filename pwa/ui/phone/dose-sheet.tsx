// One dose, step by step: agent, strength, vasoconstrictor, volume; what it would
// make, as the engine says; then it is kept, or asked about first.
import "../parts/dose-words";
import type { JSX } from "preact";
import { useRef, useState } from "preact/hooks";
import type { DoseAgent, Fact, View, Weighed } from "../../bridge/protocol.gen";
import { useBusy } from "../parts/busy";
import { Dialog } from "../parts/dialog";
import { agentName, limitWords, mg, percent, sourceOf, Weight } from "../parts/doses";
import type { Room } from "../parts/room";
import { count, list, say, sayFault } from "../parts/say";
import { DecimalKeys } from "./decimal-keys";
import { DoseLook, Live } from "./dose-look";

export type Draft = Extract<Fact, { kind: "dosed" }>;

interface SheetProps {
  room: Room;
  view: View;
  onClose: () => void;
}

/** Ratios that labels have, and that dilute solutions have. */
const ratios = [50_000, 100_000, 200_000, 400_000, 1_000_000] as const;

const decimals = 3; // of mL and of %

type Step = "agent" | "strength" | "strength keys" | "ratio" | "ratio keys" | "volume" | "look";

export function DoseSheet({ room, view, onClose }: SheetProps): JSX.Element {
  const [step, setStep] = useState<Step>("agent");
  const [draft, setDraft] = useState<Draft>({ kind: "dosed" });
  const [weighed, setWeighed] = useState<Weighed | null>(null);
  const [wrong, setWrong] = useState("");
  const [busy, run] = useBusy();
  const asked = useRef(0); // the newest question: an answer to an older one is not shown
  const agent = view.doses.agents.find((a) => (draft.agent ? a.ref === draft.agent : a.label !== "" && a.label === draft.label));
  const weigh = async (next: Draft): Promise<boolean> => {
    const mine = ++asked.current;
    const got = await room.weigh(next);
    if (mine !== asked.current) return false;
    setWeighed(got?.weighed ?? null);
    setWrong(got ? (got.fault ? sayFault(got.fault) : "") : say("dose.lost"));
    return Boolean(got?.weighed);
  };
  const change = async (next: Draft): Promise<void> => {
    setDraft(next);
    await weigh(next);
  };
  const typing = (volumeUl: number | null): void => {
    if (volumeUl) void weigh({ ...draft, volumeUl });
    else setWeighed(null);
    if (!volumeUl) setWrong("");
  };
  const look = async (volumeUl: number): Promise<void> => {
    const next = { ...draft, volumeUl };
    setDraft(next);
    if (await weigh(next)) setStep("look");
  };
  const keep = async (isAsked: boolean): Promise<void> => {
    const { fault } = await room.tap({ ...draft, asked: isAsked });
    if (!fault) return onClose();
    await weigh(draft); // what came in meanwhile may be a reason to ask
    setWrong(sayFault(fault));
  };
  const pickAgent = (a: DoseAgent): void => {
    setDraft({ kind: "dosed", agent: a.ref, label: a.label });
    setStep(a.strengths.length > 0 ? "strength" : "strength keys");
  };
  const pickStrength = (strength: number): void => {
    setDraft({ ...draft, strength });
    setStep(agent?.epinephrine ? "ratio" : "volume");
  };
  const pickRatio = (ratio: number): void => {
    setDraft({ ...draft, ratio });
    setStep("volume");
  };
  /** Back to what is doubted first: the strength, the ratio, or the volume. */
  const again = (of: DoseAgent, doubts: readonly string[]): void => {
    setWeighed(null);
    if (doubts.some((d) => d === "strength" || d === "solution")) setStep(of.strengths.length > 0 ? "strength" : "strength keys");
    else setStep(doubts.some((d) => d === "ratio" || d === "no-ratio" || d === "plain") ? "ratio" : "volume");
  };
  const said = agent
    ? [agentName(agent), draft.strength ? `${percent(draft.strength)} %` : "", draft.ratio ? say("dose.ratio", { n: draft.ratio }) : ""]
    : [];
  return (
    <Dialog title={said.length > 0 ? list(said.filter(Boolean)) : say("dose.log")} onClose={onClose}>
      {wrong ? (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      ) : null}
      {step === "agent" ? <Agents view={view} onPick={pickAgent} /> : null}
      {step === "strength" && agent ? (
        <Options
          question={say("dose.strength")}
          of={agent.strengths.map((s) => ({ value: s, words: `${percent(s)} %` }))}
          other={say("dose.strengthOther")}
          onPick={pickStrength}
          onOther={() => setStep("strength keys")}
        />
      ) : null}
      {step === "strength keys" ? (
        <DecimalKeys key="strength" question={say("dose.strengthKeys")} decimals={decimals} busy={busy} onNumber={pickStrength} />
      ) : null}
      {step === "ratio" ? (
        <Options
          question={say("dose.ratioWhich")}
          of={[...ratios.map((n) => ({ value: n, words: `1:${count(n)}` })), { value: 0, words: say("dose.ratioNone") }]}
          other={say("dose.ratioOther")}
          onPick={pickRatio}
          onOther={() => setStep("ratio keys")}
        />
      ) : null}
      {step === "ratio keys" ? (
        <DecimalKeys key="ratio" question={say("dose.ratioKeys")} decimals={0} busy={busy} onNumber={pickRatio} />
      ) : null}
      {step === "volume" ? (
        <DecimalKeys
          key="volume"
          question={say("dose.volume")}
          decimals={decimals}
          busy={busy}
          onTyping={typing}
          onNumber={(n) => run(() => look(n))}
        >
          <Live of={weighed} />
        </DecimalKeys>
      ) : null}
      {step === "look" && weighed && agent ? (
        <DoseLook
          view={view}
          agent={agent}
          draft={draft}
          weighed={weighed}
          busy={busy}
          onDraft={(next) => void change(next)}
          onKeep={(isAsked) => run(() => keep(isAsked))}
          onChange={() =>
            again(
              agent,
              weighed.doubts.map((d) => d.what),
            )
          }
        />
      ) : null}
    </Dialog>
  );
}

function Agents({ view, onPick }: { view: View; onPick: (a: DoseAgent) => void }): JSX.Element {
  return (
    <>
      <h3>{say("dose.which")}</h3>
      <ul class="choices agents">
        {view.doses.agents.map((a) => (
          <li key={a.ref || a.label}>
            <button type="button" onClick={() => onPick(a)}>
              <span>{agentName(a)}</span>
              <span class="quiet">{a.limitUg > 0 ? say("dose.limitNow", { n: mg(a.limitUg) }) : say("dose.noLimitNow")}</span>
              <span class="quiet source">{a.label === "" ? `${limitWords(a)}: ${sourceOf(a)}` : sourceOf(a)}</span>
            </button>
          </li>
        ))}
      </ul>
      <Weight view={view} />
      <p class="quiet">{say("dose.care.label")}</p>
    </>
  );
}

interface OptionsProps {
  question: string;
  of: readonly { value: number; words: string }[];
  other: string;
  onPick: (value: number) => void;
  onOther: () => void;
}

/** A few large choices, and the way to another one. */
function Options({ question, of, other, onPick, onOther }: OptionsProps): JSX.Element {
  return (
    <>
      <h3>{question}</h3>
      <div class="options">
        {of.map((one) => (
          <button type="button" class="pad2" key={one.value} onClick={() => onPick(one.value)}>
            {one.words}
          </button>
        ))}
        <button type="button" class="pad2" onClick={onOther}>
          {other}
        </button>
      </div>
    </>
  );
}
