import { mkdtempSync, rmSync, existsSync } from 'node:fs';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { commands } from '../registry.ts';
import { parseArguments } from '../parse-arguments.ts';
import { memoryIo } from '../../../test/support/memory-io.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gw-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

/** A host that knows nothing of this program: octets in hex, waiting for what the answer begins with. */
class RawHost {
  readonly #socket: Socket;
  #got = '';
  #look: () => void = () => undefined;

  constructor(socket: Socket) {
    this.#socket = socket;
    socket.on('data', (chunk) => {
      this.#got += chunk.toString('hex');
      this.#look();
    });
  }

  static open(path: string): Promise<RawHost> {
    return new Promise((resolve, reject) => {
      const socket = connect(path, () => {
        resolve(new RawHost(socket));
      });
      socket.once('error', reject);
    });
  }

  /** Sends octets and waits for a packet in the stream that matches; everything up to its end is dropped. */
  ask(octets: string, answer: RegExp): Promise<string> {
    if (octets !== '') this.#socket.write(Buffer.from(octets.replaceAll(' ', ''), 'hex'));
    return new Promise((resolve) => {
      this.#look = () => {
        const match = answer.exec(this.#got);
        if (match === null) return;
        this.#got = this.#got.slice(match.index + match[0].length);
        this.#look = () => undefined;
        resolve(match[0]);
      };
      this.#look();
    });
  }

  close(): void {
    this.#socket.destroy();
  }
}

/** Bring-up as an operating system does it: opcode, parameters; each is answered by Command Complete with status 0. */
const bringUp = [
  ['030c', ''],
  ['0310', ''],
  ['0110', ''],
  ['0910', ''],
  ['0210', ''],
  ['0320', ''],
  ['0220', ''],
  ['1c20', ''],
  ['010c', '9088000200800020'],
  ['0120', '7f08080000000000'],
  ['0720', ''],
  ['0f20', ''],
  ['1020', ''],
  ['2f20', ''],
  ['2320', ''],
  ['2420', 'fb004808'],
  ['3120', '000707'],
  ['0520', '0100000000c0'],
] as const;

describe('a controller for a host from outside', { timeout: 30_000 }, () => {
  it.each(['virtual', 'wasm'])('brings up, finds the %s board, connects, asks, and may come again', async (board) => {
    const path = join(folder, 'radio');
    let interrupt: () => void = () => undefined;
    const io = {
      ...memoryIo(),
      onInterrupt: (call: () => void) => {
        interrupt = call;
        return () => undefined;
      },
    };
    const command = commands.find(({ name }) => name === 'radio')!;
    const { run } = await command.load();
    const words = ['--listen', path, '--board', board, 'examples/wave-tank'];
    const ended = run(parseArguments(command, words), io, commands);
    while (!existsSync(path)) await new Promise(setImmediate);
    for (let i = 0; i < 2; i++) {
      const host = await RawHost.open(path);
      for (const [opcode, parameters] of bringUp) {
        const length = (parameters.length / 2).toString(16).padStart(2, '0');
        await host.ask(`01${opcode}${length}${parameters}`, new RegExp(`040e..01${opcode}00`));
      }
      // Active scan, a report of a connectable advertiser, scan off.
      await host.ask('010b2007 01 6000 6000 01 00', /040e..010b2000/);
      await host.ask('010c2002 01 00', /040e..010c2000/);
      const report = await host.ask('', /043e..020100(..)(.{12})/);
      const [type, address] = [report.slice(12, 14), report.slice(14, 26)];
      await host.ask('010c2002 00 00', /040e..010c2000/);
      // Create Connection, 30 ms, 4 s: status, then complete; features; then Exchange MTU over the attribute channel.
      const peer = `6000 6000 00 ${type} ${address} 01 1800 1800 0000 9001 0000 0000`;
      const made = await host.ask(`010d2019 ${peer}`, /043e..0100(....)00/);
      const handle = made.slice(10, 14);
      await host.ask(`01162002 ${handle}`, new RegExp(`043e..0400${handle}`));
      const acl = `02 ${handle} 0700 0300 0400 02 0502`;
      // Exchange MTU Response in a frame of 3 octets on channel 4.
      await host.ask(acl, new RegExp(`02${handle.slice(0, 2)}..07000300040003`));
      await host.ask(`01060403 ${handle} 13`, new RegExp(`04050400${handle}16`));
      host.close();
      while (io.printed.err.split('the host has gone').length < i + 2) await new Promise(setImmediate);
    }
    interrupt();
    expect(await ended).toBe(0);
    expect(existsSync(path)).toBe(false);
  });
});
