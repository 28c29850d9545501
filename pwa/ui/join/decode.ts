// Reads a QR code in a picture, for browsers that can not do it themselves. It
// is fetched when somebody scans, which is near the room: a phone keeps no copy.
import { decodeQR } from "qr/decode.js";

/** How long one picture may take: the camera shows several a second. */
const timeMsMax = 120;

/** The text of the code in a picture; "" when there is none. */
export function decode({ width, height, data }: ImageData): string {
  try {
    return decodeQR({ width, height, data }, { timeLimit: timeMsMax });
  } catch {
    return "";
  }
}
