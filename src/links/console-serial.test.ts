import { open, type FileHandle } from 'node:fs/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { us } from '../base/quantity.ts';
import { VirtualClock } from '../base/clock.ts';
import { VirtualBoard } from '../board/virtual-board.ts';
import { Ledger } from '../ledger/ledger.ts';
import { observeConsole } from '../ledger/observe.ts';
import { boardTable } from '../../test/support/board-table.ts';
import { hasPtyPairs, ptyPair, type PtyPair } from '../../test/support/pty-pair.ts';
import { ConsoleLines } from '../ledger/console-lines.ts';
import { serialConsole, serialPlaces, type SerialConsole } from './console-serial.ts';

describe.skipIf(!hasPtyPairs())('a console on a serial port', () => {
  let cable: PtyPair;
  let far: FileHandle;
  let console: SerialConsole;
  const lines: string[] = [];

  beforeEach(async () => {
    cable = await ptyPair();
    far = await open(cable.board, 'r+');
    const opened = await serialConsole(cable.host, { baud: 115_200 });
    if (!opened.ok) throw new Error(opened.message);
    console = opened.value;
    lines.length = 0;
    console.onLine((line) => lines.push(line));
  });
  afterEach(async () => {
    await console.close();
    await cable.close();
    await far.close();
  });

  const print = (text: string | Uint8Array): Promise<unknown> => far.write(Buffer.from(text));
  /** Waits until the console has said this. */
  const until = (wanted: string): Promise<void> =>
    new Promise((resolve) => {
      if (lines.includes(wanted)) resolve();
      const stop = console.onLine((line) => {
        if (line !== wanted) return;
        stop();
        resolve();
      });
    });

  it('carries lines both ways', async () => {
    console.send('get paddle\nset evil');
    const heard = Buffer.alloc(64);
    const { bytesRead } = await far.read(heard);
    expect(heard.subarray(0, bytesRead).toString()).toBe('get paddle set evil\r\n');
    await print('value 5 paddle 3200 0.5 Hz\r\ndone get\r\n');
    await until('done get');
    expect(lines).toEqual(['value 5 paddle 3200 0.5 Hz', 'done get']);
  });

  it('survives garbage, half lines and a board that is reset in the middle of one', async () => {
    await print(Uint8Array.of(0xff, 0x80, 0x0a));
    await print('ll 17 level 00 rig\r\ntell 19 lev');
    await print('el 00 rig\r\ntell 21 level 0');
    await print(Uint8Array.of(0, 0xfe, 0xc3, 0x28));
    await print(`\r\n${'z'.repeat(6000)}\r\nnote 0 start 00\r\n`);
    await until('note 0 start 00');
    expect(lines).toEqual(['ll 17 level 00 rig', 'tell 19 level 00 rig', 'note 0 start 00']);
    expect(console.troubles).toEqual({ tooLong: 1, notText: 2 });
  });

  it('takes a flood without losing a line: a second of 1 Mbaud', async () => {
    const told = Array.from({ length: 4000 }, (_, i) => `tell ${i} count ${i.toString(16).padStart(8, '0')} rig`);
    for (let i = 0; i < told.length; i += 100) await print(`${told.slice(i, i + 100).join('\r\n')}\r\n`);
    await until(told.at(-1)!);
    expect(lines).toEqual(told);
  });

  it('tells when the cable is pulled, and takes lines without complaint then', async () => {
    const ended = new Promise<void>((resolve) => {
      console.onEnd(resolve);
    });
    await far.close();
    await cable.close();
    await ended;
    expect(console.isOpen).toBe(false);
    console.send('time');
    far = await open('/dev/null', 'r+');
  });

  it('talks with a virtual board at the other end, whose clock the ledger lays on the host’s', async () => {
    const clock = new VirtualClock();
    const table = boardTable();
    const board = new VirtualBoard(table, { clock });
    const heard = new ConsoleLines((line) => {
      board.type(line);
    });
    board.onPrint((line) => void print(`${line}\r\n`));
    const listen = async (): Promise<void> => {
      const octets = Buffer.alloc(4096);
      for (;;) {
        const { bytesRead } = await far.read(octets).catch(() => ({ bytesRead: 0 }));
        if (bytesRead === 0) return;
        heard.take(Uint8Array.from(octets.subarray(0, bytesRead)));
      }
    };
    const ledger = new Ledger(table);
    const begin = performance.now();
    const observed = observeConsole(
      console,
      () => us(Math.floor((performance.now() - begin) * 1000)),
      (one) => {
        ledger.take(one);
      },
    );
    board.start();
    const listening = listen();
    observed.send('time');
    await until('done time');
    observed.send('set title Föhn');
    await until('done set');
    expect(lines).toContain(`tell 0 title ${Buffer.from('Föhn').toString('hex')} console`);
    expect(ledger.alignment).toMatchObject({ bounded: true });
    expect(ledger.values.find(({ definition }) => definition.id === 'title')!.counts.truth).toBe(2);
    await console.close();
    await cable.close();
    await listening;
  });

  it('says why a port cannot be opened', async () => {
    const none = await serialConsole('/dev/ttyNONE', { baud: 9600 });
    expect(none).toMatchObject({ ok: false, message: '`/dev/ttyNONE` cannot be opened: there is no such port' });
    const places = await serialPlaces();
    expect(places.ok).toBe(true);
  });
});
