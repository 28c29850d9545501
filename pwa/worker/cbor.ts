// Deterministic CBOR, as much of it as crosses the bridge: integers, byte and
// text strings, arrays, bools, and maps with small integer keys.

export type Value = number | boolean | string | Uint8Array | readonly Value[] | Map<number, Value>;

/** A value that is encoded already. */
export class Raw {
  constructor(readonly bytes: Uint8Array) {}
}

const text = new TextEncoder();
const untext = new TextDecoder("utf-8", { fatal: true });

class Writer {
  private buffer = new Uint8Array(256);
  private at = 0;

  private room(n: number): void {
    if (this.at + n <= this.buffer.length) return;
    const larger = new Uint8Array(Math.max(2 * this.buffer.length, this.at + n));
    larger.set(this.buffer);
    this.buffer = larger;
  }

  bytes(b: Uint8Array): void {
    this.room(b.length);
    this.buffer.set(b, this.at);
    this.at += b.length;
  }

  head(major: number, n: number): void {
    this.room(9);
    const view = new DataView(this.buffer.buffer);
    if (n < 24) {
      this.buffer[this.at++] = (major << 5) | n;
    } else if (n < 0x100) {
      this.buffer[this.at++] = (major << 5) | 24;
      this.buffer[this.at++] = n;
    } else if (n < 0x10000) {
      this.buffer[this.at++] = (major << 5) | 25;
      view.setUint16(this.at, n);
      this.at += 2;
    } else if (n < 0x100000000) {
      this.buffer[this.at++] = (major << 5) | 26;
      view.setUint32(this.at, n);
      this.at += 4;
    } else {
      this.buffer[this.at++] = (major << 5) | 27;
      view.setBigUint64(this.at, BigInt(n));
      this.at += 8;
    }
  }

  value(v: Value | Raw): void {
    if (v instanceof Raw) {
      this.bytes(v.bytes);
    } else if (typeof v === "number") {
      if (!Number.isSafeInteger(v)) throw new RangeError(`not a whole number: ${v}`);
      this.head(v < 0 ? 1 : 0, v < 0 ? -1 - v : v);
    } else if (typeof v === "boolean") {
      this.head(7, v ? 21 : 20);
    } else if (typeof v === "string") {
      const b = text.encode(v);
      this.head(3, b.length);
      this.bytes(b);
    } else if (v instanceof Uint8Array) {
      this.head(2, v.length);
      this.bytes(v);
    } else if (v instanceof Map) {
      this.map(v);
    } else {
      this.head(4, v.length);
      for (const one of v) this.value(one);
    }
  }

  map(m: ReadonlyMap<number, Value | Raw>): void {
    this.head(5, m.size);
    for (const key of [...m.keys()].sort((a, b) => a - b)) {
      this.head(0, key);
      this.value(m.get(key) as Value | Raw);
    }
  }

  out(): Uint8Array {
    return this.buffer.slice(0, this.at);
  }
}

/** Encodes a map, its keys in ascending order. */
export function encodeMap(m: ReadonlyMap<number, Value | Raw>): Uint8Array {
  const w = new Writer();
  w.map(m);
  return w.out();
}

/** Decodes one value. It trusts its input: only the engine writes it. */
export function decode(b: Uint8Array): Value {
  const view = new DataView(b.buffer, b.byteOffset, b.byteLength);
  let at = 0;
  const argument = (info: number): number => {
    if (info < 24) return info;
    const size = 1 << (info - 24);
    at += size;
    if (size === 1) return view.getUint8(at - 1);
    if (size === 2) return view.getUint16(at - 2);
    if (size === 4) return view.getUint32(at - 4);
    return Number(view.getBigUint64(at - 8));
  };
  const slice = (n: number): Uint8Array => {
    at += n;
    return b.subarray(at - n, at);
  };
  const value = (): Value => {
    const first = view.getUint8(at++);
    const major = first >> 5;
    const n = argument(first & 0x1f);
    switch (major) {
      case 0:
        return n;
      case 1:
        return -1 - n;
      case 2:
        return slice(n);
      case 3:
        return untext.decode(slice(n));
      case 4:
        return Array.from({ length: n }, value);
      case 5:
        return new Map(Array.from({ length: n }, () => [value() as number, value()] as const));
      default:
        return n === 21;
    }
  };
  return value();
}
