import type { Bytes } from '../base/bytes.ts';
import { EarlyOctets, streamConsole, type StreamConsole } from './console-stream.ts';

/**
 * What is used of the Web Serial API (wicg.github.io/serial), so that a browser's `navigator.serial`, or anything with the
 * same interface, serves.
 */
export type WebSerialPort = {
  open(options: { baudRate: number; bufferSize?: number }): Promise<void>;
  close(): Promise<void>;
  readonly readable: WebReadable | null;
  readonly writable: WebWritable | null;
};
export type WebReadable = { getReader(): WebReader };
export type WebReader = {
  read(): Promise<{ readonly done: boolean; readonly value?: Uint8Array | undefined }>;
  cancel(): Promise<void>;
  releaseLock(): void;
};
export type WebWritable = {
  getWriter(): { write(octets: Uint8Array): Promise<void>; close(): Promise<void>; releaseLock(): void };
};
export type WebSerial = {
  requestPort(): Promise<WebSerialPort>;
  /** Ports that the user has allowed before. */
  getPorts(): Promise<readonly WebSerialPort[]>;
};

export type WebSerialConsole = StreamConsole & { close(): Promise<void> };

export type WebSerialFailure =
  /** The user chose none. */
  | { readonly kind: 'not-chosen' }
  /** Another program has it, or it went. `about`: the browser's words. */
  | { readonly kind: 'not-opened'; readonly about: string };

export type WebSerialOpened =
  { readonly ok: true; readonly value: WebSerialConsole } | { readonly ok: false; readonly failure: WebSerialFailure };

/** Octets that the browser keeps while the page is busy: half a second of 1 Mbaud. */
const bufferSize = 65_536;

/** Lets the user choose a serial port and opens the board's console on it; needs a click, as browsers demand. */
export async function requestWebSerialConsole(serial: WebSerial, baud: number): Promise<WebSerialOpened> {
  let port: WebSerialPort;
  try {
    port = await serial.requestPort();
  } catch {
    return { ok: false, failure: { kind: 'not-chosen' } };
  }
  return openWebSerialConsole(port, baud);
}

/** Opens the board's console on a port, such as one of `getPorts()`. */
export async function openWebSerialConsole(port: WebSerialPort, baud: number): Promise<WebSerialOpened> {
  try {
    await port.open({ baudRate: baud, bufferSize });
  } catch (error) {
    return {
      ok: false,
      failure: { kind: 'not-opened', about: error instanceof Error ? error.message : String(error) },
    };
  }
  const session = new WebSerialSession(port);
  const console = streamConsole({
    send: (octets) => {
      session.send(octets);
    },
    onOctets: (take) => {
      session.octets.listen(take);
    },
    onClose: (listener) => {
      session.onEnd = listener;
    },
  });
  void session.read();
  return { ok: true, value: Object.assign(console, { close: () => session.close() }) };
}

class WebSerialSession {
  readonly octets = new EarlyOctets();
  onEnd: () => void = () => undefined;
  readonly #port: WebSerialPort;
  #reader: WebReader | undefined;
  #closing = false;
  /** Settles when the last octets are handed over; a failure is the reader's to notice. */
  #writing: Promise<void> = Promise.resolve();

  constructor(port: WebSerialPort) {
    this.#port = port;
  }

  /** Reads until the port goes or is closed. An overrun or a framing error ends one stream, and the next takes its place. */
  async read(): Promise<void> {
    while (!this.#closing && this.#port.readable !== null) {
      const reader = this.#port.readable.getReader();
      this.#reader = reader;
      try {
        for (let piece = await reader.read(); !piece.done; piece = await reader.read()) {
          if (piece.value !== undefined) this.octets.put(piece.value);
        }
        this.#closing = true;
      } catch {
        // The stream is broken; a port that is there yet gives another.
      } finally {
        reader.releaseLock();
        this.#reader = undefined;
      }
    }
    this.onEnd();
  }

  send(octets: Bytes): void {
    this.#writing = this.#write(this.#writing, octets);
  }

  async close(): Promise<void> {
    this.#closing = true;
    await quietly(this.#reader?.cancel());
    await this.#writing;
    await quietly(this.#port.close());
  }

  async #write(before: Promise<void>, octets: Bytes): Promise<void> {
    await before;
    const writer = this.#port.writable?.getWriter();
    if (writer === undefined) return;
    await quietly(writer.write(octets));
    writer.releaseLock();
  }
}

/** What fails because the port has gone is told by the end of reading. */
async function quietly(work: Promise<void> | undefined): Promise<void> {
  try {
    await work;
  } catch {
    // Told elsewhere.
  }
}
