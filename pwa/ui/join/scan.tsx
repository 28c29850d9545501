// Scanning the code on the wall with this phone's camera, inside the app: on
// some phones the icon on the home screen shares nothing with the browser that
// another camera would open.
import type { JSX } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { Dialog } from "../parts/dialog";
import { type Key, say } from "../parts/say";
import type { Invite } from "../phone/invite";
import { readScanned, type Scanned } from "./code";

/** The browser's own reader, where it has one. */
interface Detector {
  detect(video: HTMLVideoElement): Promise<{ rawValue: string }[]>;
}
declare const BarcodeDetector: undefined | { new (of: { formats: string[] }): Detector; getSupportedFormats(): Promise<string[]> };

/** Reads the code in what a camera shows; "" while there is none. */
type Reader = (video: HTMLVideoElement) => Promise<string>;

/** The browser's own, null where it has none. */
async function ownReader(): Promise<Reader | null> {
  const format = "qr_code";
  if (typeof BarcodeDetector === "undefined" || !(await BarcodeDetector.getSupportedFormats()).includes(format)) return null;
  const own = new BarcodeDetector({ formats: [format] });
  return async (video) => (await own.detect(video))[0]?.rawValue ?? "";
}

async function ourReader(): Promise<Reader> {
  const { decode } = await import("./decode");
  const canvas = document.createElement("canvas");
  const drawn = canvas.getContext("2d", { willReadFrequently: true });
  return async (video) => {
    const less = Math.min(1, sideMax / Math.max(video.videoWidth, video.videoHeight));
    canvas.width = Math.round(video.videoWidth * less);
    canvas.height = Math.round(video.videoHeight * less);
    if (!drawn || canvas.width === 0) return "";
    drawn.drawImage(video, 0, 0, canvas.width, canvas.height);
    return decode(drawn.getImageData(0, 0, canvas.width, canvas.height));
  };
}

/** The browser's own reader until it fails, then ours. */
async function reader(): Promise<Reader> {
  const own = await ownReader().catch(() => null);
  if (!own) return ourReader();
  let read = own;
  return (video) =>
    read(video).catch(async () => {
      if (read === own) read = await ourReader();
      return read(video);
    });
}

const sideMax = 800; // pixels that are looked at: a wall's code a few metres off is still large enough
const lookMs = 150;

/** Why there is no picture. */
function whyNot(error: unknown): Key {
  const name = error instanceof DOMException ? error.name : "";
  if (name === "NotAllowedError" || name === "SecurityError") return "join.cameraRefused";
  return name === "NotFoundError" || name === "OverconstrainedError" ? "join.cameraNone" : "join.cameraFailed";
}

interface ScanProps {
  onInvite: (invite: Invite) => void;
  onClose: () => void;
}

/** A sheet with what the camera sees, until it has seen a code to join by. */
export function Scan({ onInvite, onClose }: ScanProps): JSX.Element {
  const video = useRef<HTMLVideoElement>(null);
  const [wrong, setWrong] = useState<Key | null>(null);
  const [seen, setSeen] = useState<Scanned | null>(null);
  const looking = wrong === null && seen?.kind !== "elsewhere";
  useEffect(() => {
    if (!looking) return;
    let ended = false;
    let camera: MediaStream | null = null;
    const look = async (): Promise<void> => {
      if (!navigator.mediaDevices) throw new DOMException("", "NotFoundError");
      camera = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
      const shows = video.current;
      if (ended || !shows) return;
      shows.srcObject = camera;
      await shows.play();
      for (const read = await reader(); !ended; await new Promise((go) => setTimeout(go, lookMs))) {
        const text = await read(shows);
        if (text === "" || ended) continue;
        const scanned = readScanned(text, location.origin);
        if (scanned.kind === "here") onInvite(scanned.invite);
        else setSeen(scanned);
        if (scanned.kind !== "none") return;
      }
    };
    look()
      .catch((error: unknown) => {
        if (!ended) setWrong(whyNot(error));
      })
      .finally(() => ended && stop(camera));
    return () => {
      ended = true;
      stop(camera);
    };
  }, [looking]);
  return (
    <Dialog title={say("join.scanTitle")} onClose={onClose}>
      {seen?.kind === "elsewhere" ? (
        <Elsewhere seen={seen} onInvite={onInvite} onAgain={() => setSeen(null)} />
      ) : wrong ? (
        <p class="warn" role="alert">
          {say(wrong)}
        </p>
      ) : (
        <>
          <video ref={video} class="camera" muted playsInline aria-label={say("join.camera")} />
          <p role="status">{say(seen ? "join.scanOther" : "join.scanHow")}</p>
        </>
      )}
      <button type="button" class="do" onClick={onClose}>
        {say("join.type")}
      </button>
    </Dialog>
  );
}

const stop = (camera: MediaStream | null): void => {
  for (const track of camera?.getTracks() ?? []) track.stop();
};

interface ElsewhereProps {
  seen: Extract<Scanned, { kind: "elsewhere" }>;
  onInvite: (invite: Invite) => void;
  onAgain: () => void;
}

/** A code of another address: a person says whether it is the same room. A lead's secret goes to no address but its own. */
function Elsewhere({ seen: { address, invite }, onInvite, onAgain }: ElsewhereProps): JSX.Element {
  return (
    <section class="ask">
      <h3>{say("join.otherAddress")}</h3>
      <p>{say("join.otherAddressWhy", { there: address.host, here: location.host })}</p>
      {invite.office ? null : (
        <button type="button" class="do" onClick={() => onInvite(invite)}>
          {say("join.sameRoom")}
        </button>
      )}
      <a class="do" href={address.href}>
        {say("join.openThere", { there: address.host })}
      </a>
      <button type="button" class="do" onClick={onAgain}>
        {say("join.scanAgain")}
      </button>
    </section>
  );
}
