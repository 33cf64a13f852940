import { describe, expect, it } from 'vitest';
import { openWebSerialConsole, requestWebSerialConsole, type WebSerialPort } from './console-web-serial.ts';

/** A port as the W3C draft describes it, over the platform's own streams: what a browser gives, without a browser. */
class TwinPort implements WebSerialPort {
  readable: ReadableStream<Uint8Array> | null = null;
  writable: WritableStream<Uint8Array> | null = null;
  readonly written: string[] = [];
  options: object | undefined;
  #controller: ReadableStreamDefaultController<Uint8Array> | undefined;

  open(options: object): Promise<void> {
    if (this.readable !== null) return Promise.reject(new Error('The port is already open.'));
    this.options = options;
    this.#renew();
    this.writable = new WritableStream({
      write: (octets) => {
        this.written.push(new TextDecoder().decode(octets));
      },
    });
    return Promise.resolve();
  }

  close(): Promise<void> {
    if (this.readable?.locked === true) return Promise.reject(new TypeError('locked'));
    this.readable = null;
    this.writable = null;
    return Promise.resolve();
  }

  print(text: string): void {
    this.#controller?.enqueue(new TextEncoder().encode(text));
  }

  /** An error that the port survives: the stream breaks, and another takes its place. */
  overrun(): void {
    const old = this.#controller;
    this.#renew();
    old?.error(new DOMException('overrun', 'BufferOverrunError'));
  }

  unplug(): void {
    const old = this.#controller;
    this.readable = null;
    old?.error(new DOMException('gone', 'NetworkError'));
  }

  #renew(): void {
    this.readable = new ReadableStream({
      start: (controller) => {
        this.#controller = controller;
      },
    });
  }
}

async function opened(port = new TwinPort()) {
  const outcome = await openWebSerialConsole(port, 115_200);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.failure));
  const lines: string[] = [];
  const console = outcome.value;
  console.onLine((line) => lines.push(line));
  const until = (count: number): Promise<void> =>
    new Promise((resolve) => {
      if (lines.length >= count) resolve();
      console.onLine(() => {
        if (lines.length >= count) resolve();
      });
    });
  return { port, console, lines, until };
}

describe('a console by Web Serial', () => {
  it('carries lines both ways', async () => {
    const { port, console, lines, until } = await opened();
    expect(port.options).toEqual({ baudRate: 115_200, bufferSize: 65_536 });
    port.print('tell 5 lev');
    port.print('el 00 rig\r\ndone time\r\n');
    await until(2);
    expect(lines).toEqual(['tell 5 level 00 rig', 'done time']);
    console.send('time');
    console.send('get level');
    await console.close();
    expect(port.written).toEqual(['time\r\n', 'get level\r\n']);
    expect(port.readable).toBeNull();
    expect(console.isOpen).toBe(false);
  });

  it('goes on after an overrun: the half line before it is noise', async () => {
    const { port, lines, until } = await opened();
    port.print('tell 5 level 00 rig\r\n');
    await until(1);
    port.overrun();
    port.print('tell 6 level 01 rig\r\n');
    await until(2);
    expect(lines).toEqual(['tell 5 level 00 rig', 'tell 6 level 01 rig']);
  });

  it('ends when the board is unplugged', async () => {
    const { port, console } = await opened();
    const ended = new Promise<void>((resolve) => {
      console.onEnd(resolve);
    });
    port.unplug();
    await ended;
    console.send('time');
    await console.close();
    expect(port.written).toEqual([]);
  });

  it('says that nothing was chosen, and that a port is in use', async () => {
    const port = new TwinPort();
    const serial = { requestPort: () => Promise.resolve(port), getPorts: () => Promise.resolve([]) };
    expect((await requestWebSerialConsole(serial, 9600)).ok).toBe(true);
    expect(await requestWebSerialConsole(serial, 9600)).toEqual({
      ok: false,
      failure: { kind: 'not-opened', about: 'The port is already open.' },
    });
    const nothing = { ...serial, requestPort: () => Promise.reject(new DOMException('none', 'NotFoundError')) };
    expect(await requestWebSerialConsole(nothing, 9600)).toEqual({ ok: false, failure: { kind: 'not-chosen' } });
  });
});
