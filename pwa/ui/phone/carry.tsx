// Counts that go by hand, as a file, where there is no network.
import type { JSX } from "preact";
import { useState } from "preact/hooks";
import type { Joined } from "../../bridge/messages";
import type { Room } from "../parts/room";
import { list, say, sayFault } from "../parts/say";

/** A file's name has letters, digits, dots and dashes only. */
const plain = (s: string): string => s.replace(/[^\p{L}\p{N}.]+/gu, "-").replace(/^[-.]+|[-.]+$/g, "");

function download(file: File): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/** Hands what the room lacks over as a file. It is there while something is unsent. */
export function HandOut({ room, joined }: { room: Room; joined: Joined }): JSX.Element | null {
  const [said, setSaid] = useState("");
  const unsent = room.shown.truth?.unsent ?? 0;
  if (unsent === 0 && said === "") return null;
  const name = ["rootledger", plain(room.shown.view?.session?.case ?? ""), plain(joined.person)].filter(Boolean).join("-");
  const make = async (give: (file: File) => void | Promise<void>): Promise<void> => {
    const bytes = await room.handOut();
    if (bytes.length === 0) {
      setSaid(say("carry.none"));
      return;
    }
    try {
      await give(new File([bytes as Uint8Array<ArrayBuffer>], `${name}.counts`, { type: "application/octet-stream" }));
      setSaid(say("carry.made", { n: unsent }));
    } catch {
      setSaid(say("carry.notShared"));
    }
  };
  const shares = navigator.canShare?.({ files: [new File([new Uint8Array(1)], `${name}.counts`)] }) ?? false;
  return (
    <section class="carry">
      <div class="acts">
        <button type="button" class="do" onClick={() => void make(download)}>
          {say("carry.out")}
        </button>
        {shares ? (
          <button type="button" class="do" onClick={() => void make((file) => navigator.share({ files: [file] }))}>
            {say("carry.share")}
          </button>
        ) : null}
      </div>
      <p class="quiet" role="status">
        {said || say("carry.outWhy")}
      </p>
    </section>
  );
}

/** More than this no file of counts has: the rest of it need not be read to refuse it. */
const longest = (32 << 20) + 1;

/** Takes the file of another phone in. */
export function CarryIn({ room }: { room: Room }): JSX.Element {
  const [said, setSaid] = useState("");
  const [wrong, setWrong] = useState("");
  const take = async (input: HTMLInputElement): Promise<void> => {
    const file = input.files?.[0];
    if (!file) return;
    setSaid("");
    setWrong("");
    const got = await room.carryIn(new Uint8Array(await file.slice(0, longest).arrayBuffer()));
    input.value = ""; // the same file may be chosen again
    if (!got) setWrong(sayFault({ code: "stopped", args: {} }));
    else if (got.fault) setWrong(sayFault(got.fault));
    else if (got.carried.n === 0) setSaid(say("carry.again"));
    else setSaid(say("carry.taken", { n: got.carried.n, from: list(got.carried.from) || say("carry.nobody") }));
  };
  return (
    <section class="carry">
      <label class="field">
        <span>{say("carry.in")}</span>
        <input type="file" onChange={(e) => void take(e.currentTarget)} />
        {wrong ? <span class="wrong">{wrong}</span> : null}
      </label>
      <p class="quiet" role="status">
        {said || say("carry.inWhy")}
      </p>
    </section>
  );
}
