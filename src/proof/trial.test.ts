import { describe, expect, it } from 'vitest';
import { boardTable, valueOf } from '../../test/support/board-table.ts';
import { narrowLink } from '../../test/support/narrow-link.ts';
import { freshLink } from '../../test/support/proof-bench.ts';
import { us } from '../base/quantity.ts';
import { seededRandom } from '../base/random.ts';
import type { Link } from '../att/link.ts';
import { Trial } from './trial.ts';

const table = boardTable();
const speed = valueOf(table, 'speed');
const dye = valueOf(table, 'dye');

function trialOn(link: Link = freshLink(table)): Trial {
  return new Trial(table, link, seededRandom(1));
}

async function truthOf(link: Link, id: string): Promise<Uint8Array | undefined> {
  return new Trial(table, link, seededRandom(1)).truth?.get(id);
}

describe('a trial', () => {
  it('puts back what it touched, and leaves', async () => {
    const link = freshLink(table);
    const trial = trialOn(link);
    const client = await trial.connect();
    await trial.write(client, dye, Uint8Array.of(2));
    expect(await truthOf(link, 'dye')).toEqual(Uint8Array.of(2));
    await trial.close();
    expect(client.isOpen).toBe(false);
    expect(await truthOf(link, 'dye')).toEqual(dye.start);
  });

  it('puts back over the air where there is no console', async () => {
    const link = freshLink(table);
    const trial = trialOn(narrowLink(link, []));
    const client = await trial.connect();
    await trial.write(client, dye, Uint8Array.of(2));
    await trial.close();
    expect(await truthOf(link, 'dye')).toEqual(dye.start);
  });

  it('leaves a value with a failsafe where the board would take it', async () => {
    const link = freshLink(table);
    const trial = trialOn(link);
    await trial.set(speed, Uint8Array.of(100, 0));
    await trial.close();
    expect(await truthOf(link, 'speed')).toEqual(Uint8Array.of(0, 0));
  });

  it('puts back also after its verdict stands', async () => {
    const link = freshLink(table);
    const trial = trialOn(link);
    await trial.write(await trial.connect(), dye, Uint8Array.of(2));
    trial.claim(false, 'one', 'another');
    await trial.close();
    expect(await truthOf(link, 'dye')).toEqual(dye.start);
  });

  it('does nothing more once its verdict stands', async () => {
    const link = freshLink(table);
    const trial = trialOn(link);
    const client = await trial.connect();
    trial.claim(false, 'one', 'another');
    const crossed = client.connection!.transcript.length;
    await client.mustRead({ kind: 'descriptor', uuid: dye.uuid, handle: 1 }, 'a declaration');
    await trial.set(dye, Uint8Array.of(1));
    await trial.pass(us(1_000_000));
    const late = await trial.connect();
    expect(client.connection!.transcript.length).toBe(crossed);
    expect(late.isOpen).toBe(false);
    expect(trial.now).toBe(0);
    expect(await truthOf(link, 'dye')).toEqual(dye.start);
  });

  it('outlasts a failsafe that an earlier case set off', async () => {
    const link = freshLink(table);
    const aftermath = { leftAt: us(0) };
    const first = new Trial(table, link, seededRandom(1), aftermath);
    await first.connect();
    await first.close();
    const second = new Trial(table, link, seededRandom(1), aftermath);
    await second.set(speed, Uint8Array.of(100, 0));
    await second.pass(us(5_000_000));
    expect(await truthOf(link, 'speed')).toEqual(Uint8Array.of(100, 0));
  });

  it('waits at its end until the board has noticed a lost link', async () => {
    const link = freshLink(table);
    const trial = trialOn(link);
    await trial.lose(await trial.connect());
    await trial.close();
    expect(link.clock.now()).toBe(table.radio.connection.timeout);
  });

  it('tells what happened in order: the air, the console and the link', async () => {
    const trial = trialOn();
    const client = await trial.connect();
    await trial.set(dye, Uint8Array.of(1));
    await trial.write(client, dye, Uint8Array.of(2));
    await trial.truthOf(dye);
    await trial.leave(client);
    const told = trial.journal
      .exchange()
      .exchange.map((one) => (one.kind === 'pdu' ? `${one.from} ${one.pdu[0]}` : `${one.by}: ${one.text}`));
    expect(told).toEqual([
      'link: the client connects as `first`',
      'console: set `dye` to fluorescein (01)',
      'central 18',
      'console: `dye` becomes rhodamine (02), written over the air',
      'board 19',
      'console: `dye` is rhodamine (02)',
      'link: the client says goodbye',
      'console: `valve` becomes false (00), by its failsafe',
    ]);
  });

  it('tells connections apart', async () => {
    const trial = trialOn();
    const first = await trial.connect();
    const second = await trial.connect({ identity: 'second' });
    await second.mustExchangeMtu(60);
    await first.mustExchangeMtu(40);
    const pdus = trial.journal.exchange().exchange.flatMap((one) => (one.kind === 'pdu' ? [one.connection] : []));
    expect([...pdus].sort()).toEqual([1, 1, 2, 2]);
  });

  it('claims that a value is held by truth and by air', async () => {
    const trial = trialOn();
    const client = await trial.connect();
    await trial.set(dye, Uint8Array.of(1));
    await trial.mustHold(client, dye, Uint8Array.of(1), trial.mark());
    expect(trial.claims.verdict().expected).toMatch(
      /the board holds fluorescein \(01\); .*reading back gives fluorescein \(01\)/,
    );
    await trial.mustHold(client, dye, Uint8Array.of(2), trial.mark());
    expect(trial.claims.verdict()).toMatchObject({ verdict: 'failed', seen: 'it holds fluorescein (01)' });
  });

  it('claims that a value is unchanged, and sees a write that was taken back', async () => {
    const trial = trialOn();
    const client = await trial.connect();
    await trial.set(dye, Uint8Array.of(1));
    const mark = trial.mark();
    await trial.mustBeUnchanged(client, dye, Uint8Array.of(1), mark);
    expect(trial.over).toBe(false);
    await client.mustWrite(dye, Uint8Array.of(2));
    await trial.set(dye, Uint8Array.of(1));
    await trial.mustBeUnchanged(client, dye, Uint8Array.of(1), mark);
    expect(trial.claims.verdict()).toMatchObject({ verdict: 'failed', seen: 'it holds rhodamine (02)' });
  });
});
