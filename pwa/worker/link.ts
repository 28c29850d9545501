// The socket to the room: opened again for ever, with jitter.

const retryMsMax = 15_000;
const silentMs = 20_000; // the server pings every 5 s

export interface LinkEvents {
  opened(): void;
  frame(bytes: Uint8Array): void;
  closed(): void;
  /** A token for the next try; null for a wall. It may ask the server, and does when the last one was turned away. */
  token(turnedAway: boolean): Promise<string | null>;
}

/** Keeps one socket open until end is called. */
export class Link {
  private socket: WebSocket | null = null;
  private retryMs = 250;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private silent: ReturnType<typeof setTimeout> | undefined;
  private ended = false;
  private opening = false;
  private turnedAway = false; // the last try never opened: the network, or the token

  constructor(
    private readonly session: string,
    private readonly events: LinkEvents,
  ) {
    void this.open();
  }

  private async open(): Promise<void> {
    if (this.opening) return;
    this.opening = true;
    let token: string | null;
    try {
      token = await this.events.token(this.turnedAway);
    } catch {
      this.later();
      return;
    } finally {
      this.opening = false;
    }
    if (this.ended || this.socket) return;
    const base = self.location.origin.replace(/^http/, "ws");
    const protocols = token === null ? ["rootledger.1"] : ["rootledger.1", `token.${token}`];
    const socket = new WebSocket(`${base}/api/sync?session=${this.session}`, protocols);
    socket.binaryType = "arraybuffer";
    this.socket = socket;
    this.turnedAway = true;
    this.listen();
    socket.onopen = () => {
      this.turnedAway = false;
      this.listen();
      this.events.opened();
    };
    socket.onmessage = (message: MessageEvent<ArrayBuffer>) => {
      this.retryMs = 250;
      this.listen();
      this.events.frame(new Uint8Array(message.data));
    };
    socket.onclose = () => {
      if (this.socket !== socket) return; // an old one's end says nothing of the new one
      clearTimeout(this.silent);
      this.socket = null;
      this.events.closed();
      this.later();
    };
  }

  /** A socket that says nothing is closed: a phone that slept finds it dead. */
  private listen(): void {
    clearTimeout(this.silent);
    this.silent = setTimeout(() => this.drop(), silentMs);
  }

  private drop(): void {
    const socket = this.socket;
    if (!socket) return;
    this.socket = null;
    socket.close();
    this.events.closed();
    this.later();
  }

  private later(): void {
    if (this.ended) return;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.open(), this.retryMs * (0.5 + Math.random()));
    this.retryMs = Math.min(2 * this.retryMs, retryMsMax);
  }

  /** Tries at once: the network is said to be back. */
  hurry(): void {
    if (this.socket || this.ended) return;
    clearTimeout(this.timer);
    this.retryMs = 250;
    void this.open();
  }

  send(frames: Uint8Array[]): void {
    if (this.socket?.readyState !== WebSocket.OPEN) return; // offered again after the next welcome
    for (const one of frames) this.socket.send(one as Uint8Array<ArrayBuffer>);
  }

  end(): void {
    this.ended = true;
    clearTimeout(this.timer);
    clearTimeout(this.silent);
    const socket = this.socket;
    this.socket = null;
    socket?.close();
  }
}
