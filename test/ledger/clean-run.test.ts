import { describe, expect, it } from 'vitest';
import { readFileSync } from 'node:fs';
import { us } from '../../src/base/quantity.ts';
import { VirtualClock } from '../../src/base/clock.ts';
import type { RemoteCharacteristic } from '../../src/att/link.ts';
import { VirtualBoard } from '../../src/board/virtual-board.ts';
import { inMemoryLink } from '../../src/links/in-memory.ts';
import { check } from '../../src/table/check.ts';
import waveTank from '../../examples/wave-tank/rig.ts';
import { ledgerTable } from '../support/ledger-session.ts';
import { Ledger } from '../../src/ledger/ledger.ts';
import { markOf } from '../../src/ledger/entry.ts';
import { observeLink } from '../../src/ledger/observe.ts';

describe('ten minutes of the wave tank', () => {
  it('have no mark, with a lost link and a reset of the central in them', async () => {
    const { value } = check(readFileSync(new URL('../../examples/wave-tank/contract.yaml', import.meta.url)));
    const { table } = value!;
    const clock = new VirtualClock();
    const board = new VirtualBoard(table, { clock, rig: waveTank });
    const marks: string[] = [];
    const ledger = new Ledger(table, {
      onEntry: (entry) => {
        const mark = markOf(entry);
        if (mark !== undefined) marks.push(`${mark} ${table.values[entry.value]!.id} at ${entry.at}`);
      },
    });
    const { link } = observeLink(inMemoryLink(board, { latency: us(15_000) }), table, us(0), (one) => {
      ledger.take(one);
    });
    for (const { id } of table.values) link.console!.send(`get ${id}`);
    link.console!.send('time');
    for (let session = 0; session < 4; session++) {
      const outcome = await link.connect();
      if (!outcome.ok) throw new Error('no connection');
      const connection = outcome.value;
      await connection.exchangeMtu(185);
      const services = await connection.discover();
      if (!services.ok) throw new Error('no services');
      const remote = new Map<string, RemoteCharacteristic>();
      for (const each of services.value.flatMap(({ characteristics }) => characteristics)) {
        const definition = table.values.find(({ handle }) => handle === each.handle);
        if (definition !== undefined) remote.set(definition.id, each);
      }
      for (const { id, notify } of table.values) {
        if (notify !== undefined) await connection.subscribe(remote.get(id)!, 'notify');
      }
      for (let turn = 0; turn < 75; turn++) {
        await connection.write(remote.get('paddle')!, Uint8Array.of((turn * 37) % 256, turn % 2));
        for (const id of ['paddle', 'level', 'crests', 'note', 'dye', 'calibration'])
          await connection.read(remote.get(id)!);
        await connection.write(remote.get('caption')!, new TextEncoder().encode(`turn ${turn} of ${session}`));
        await connection.write(remote.get('dye')!, Uint8Array.of(turn % 4));
        link.console!.send(`set note turn ${turn}`);
        clock.advance(us(1_650_000 + turn * 1000));
      }
      await connection.drop(session % 2 === 0 ? 'lose' : 'terminate');
      clock.advance(us(5_000_000));
    }
    ledger.finish();
    expect(clock.now()).toBeGreaterThan(600_000_000);
    expect(marks).toEqual([]);
    expect(ledger.values.reduce((sum, { counts }) => sum + counts.notified, 0)).toBeGreaterThan(12_000);
    expect(ledger.values.reduce((sum, { counts }) => sum + counts.unjudged, 0)).toBe(0);
  }, 30_000);
});

describe('a thousand events a second', () => {
  it('stay in bounded memory, and each of them is accounted for', () => {
    const table = ledgerTable();
    let entries = 0;
    let marks = 0;
    const ledger = new Ledger(table, {
      onEntry: (entry) => {
        if (entry.kind !== 'link') entries += 1;
        if (markOf(entry) !== undefined) marks += 1;
      },
    });
    const hex = (n: number): string => Buffer.from(Uint32Array.of(n).buffer).toString('hex');
    ledger.take({ kind: 'printed', at: us(0), line: 'tell 0 count 00000000 start' });
    ledger.take({ kind: 'connected', at: us(0), connection: 1, mtu: 100 });
    ledger.take({ kind: 'subscribed', asked: us(0), at: us(1), connection: 1, id: 'count', mode: 'notify' });
    let most = 0;
    const seconds = 60;
    for (let i = 5; i < seconds * 500; i++) {
      const at = us(i * 2000);
      ledger.take({ kind: 'printed', at, line: `tell ${i * 2} count ${hex(i)} rig` });
      const value = new Uint8Array(Uint32Array.of(i).buffer);
      ledger.take({ kind: 'notified', at: us(at + 1000), connection: 1, id: 'count', value });
      most = Math.max(most, ledger.remembered);
    }
    ledger.finish();
    expect(marks).toBe(0);
    expect(entries).toBe(2 * (seconds * 500 - 5) + 1);
    // Ten seconds of history, and what waits for the console.
    expect(most).toBeLessThan(7000);
  });
});
