// Writes its input as gzip, in the fewest bytes that any unpacker of gzip takes.
import { buffer } from "node:stream/consumers";
import zopfli from "@gfx/zopfli";

const raw = await buffer(process.stdin);
process.stdout.write(await zopfli.gzipAsync(raw, { numiterations: 1 })); // more iterations save a few hundredths
