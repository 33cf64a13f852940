import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { us } from '../base/quantity.ts';
import { VirtualClock } from '../base/clock.ts';
import type { Observation } from './observation.ts';
import { headLine, observationLine, readHead, readObservation } from './session.ts';
import { SessionReader } from './session-reader.ts';
import { SessionWriter } from './session-writer.ts';

const head = { contract: 'contract: 1 # Füllstand\n', name: 'tank.yaml', link: 'virtual board', began: undefined };

const time = fc.nat({ max: 2 ** 40 }).map(us);
const octets = fc.uint8Array({ maxLength: 20 });
const number = fc.nat({ max: 1000 });
const id = fc.constantFrom('level', 'paddle', 'a-b');
const maybe = fc.option(number, { nil: undefined });
const exchange = { asked: time, at: time, connection: number, id };
const observation: fc.Arbitrary<Observation> = fc.oneof(
  fc.record({
    kind: fc.constantFrom('printed' as const, 'typed' as const),
    at: time,
    line: fc.string({ unit: 'grapheme' }),
  }),
  fc.record({ kind: fc.constant('connected' as const), at: time, connection: number, mtu: maybe }),
  fc.record({ kind: fc.constant('disconnected' as const), at: time, connection: number }),
  fc.record({
    kind: fc.constant('subscribed' as const),
    ...exchange,
    mode: fc.constantFrom('notify' as const, 'indicate' as const, 'off' as const),
  }),
  fc.record({ kind: fc.constant('read' as const), ...exchange, value: octets }),
  fc.record({ kind: fc.constant('written' as const), ...exchange, value: octets, response: fc.boolean() }),
  fc.record({
    kind: fc.constant('refused' as const),
    ...exchange,
    access: fc.constantFrom('read' as const, 'write' as const),
    code: maybe,
    value: fc.option(octets, { nil: undefined }),
  }),
  fc.record({
    kind: fc.constantFrom('notified' as const, 'indicated' as const),
    at: time,
    connection: number,
    id,
    value: octets,
  }),
  fc.record({
    kind: fc.constant('packet' as const),
    at: time,
    connection: number,
    from: fc.constantFrom('central' as const, 'board' as const),
    pdu: octets,
  }),
);

function readAll(text: string): { observations: Observation[]; reader: SessionReader } {
  const reader = new SessionReader();
  const lines = text.split('\n');
  const rest = lines.pop()!;
  const observations = [...lines, ...(rest === '' ? [] : [rest])].flatMap((line) => reader.take(line) ?? []);
  reader.end(rest === '');
  return { observations, reader };
}

describe('a recording', () => {
  it('keeps each observation in a line of its own', () => {
    fc.assert(
      fc.property(observation, (one) => {
        const line = observationLine(one);
        expect(line).not.toContain('\n');
        expect(readObservation(line)).toEqual({ ok: true, value: one });
      }),
    );
  });

  it('is written as documented', () => {
    expect(
      observationLine({
        kind: 'notified',
        at: us(61_877_000),
        connection: 1,
        id: 'crests',
        value: Uint8Array.of(43, 0, 0, 0),
      }),
    ).toBe('{"t":61877000,"is":"notified","c":1,"id":"crests","v":"2b000000"}');
    const line = JSON.parse(headLine(head)) as Record<string, unknown>;
    expect(line['contract-sha256']).toBe(createHash('sha256').update(head.contract).digest('hex'));
    expect(readHead(headLine(head))).toEqual({ ok: true, value: head });
  });

  it('says what is wrong with a head', () => {
    const why = (line: string): string => {
      const read = readHead(line);
      return read.ok ? 'nothing' : read.why;
    };
    expect(why('contract: 1')).toMatch('no recording of gattwright');
    expect(why(headLine(head).replace('"version":1', '"version":7'))).toMatch('version 7');
    expect(why(headLine(head).replace('Füll', 'Voll'))).toMatch('changed after it was recorded');
    expect(why(headLine(head).replace('"name"', '"nome"'))).toMatch('lacks');
  });

  it('never throws on any line', () => {
    fc.assert(fc.property(fc.oneof(fc.string(), fc.json()), (line) => typeof readObservation(line).ok === 'boolean'));
  });

  it('is read up to where a crash tore it, wherever that was', () => {
    const all: Observation[] = [1, 2, 3].map((n) => ({
      kind: 'printed',
      at: us(n * 1000),
      line: `tell ${n} level 00 rig`,
    }));
    const text = [headLine(head), ...all.map(observationLine)].map((line) => `${line}\n`).join('');
    const begins = headLine(head).length + 1;
    for (let length = begins; length <= text.length; length++) {
      const cut = text.slice(0, length);
      const { observations, reader } = readAll(cut);
      const whole = cut.slice(begins).split('\n').length - 1;
      // A last line that only lacks its end is all there.
      expect([whole, whole + 1]).toContain(observations.length);
      expect(observations).toEqual(all.slice(0, observations.length));
      expect(reader.unreadCount).toBe(0);
      expect(reader.torn).toBe(!cut.endsWith('\n') && observations.length === whole);
    }
  });

  it('leaves out lines in the middle that cannot be read, and says which', () => {
    const good = observationLine({ kind: 'printed', at: us(5), line: 'x' });
    const back = observationLine({ kind: 'printed', at: us(4), line: 'x' });
    const { observations, reader } = readAll(
      `${headLine(head)}\n${good}\n{"t":6,"is":"read"}\n\nnonsense\n${back}\n${good}\n`,
    );
    expect(observations).toHaveLength(2);
    expect(reader.unread).toEqual([
      { line: 3, why: '`is` is "read", or a field of it is missing' },
      { line: 5, why: 'it is no JSON object' },
      { line: 6, why: 'its time goes back' },
    ]);
  });

  it('is refused when it is none', () => {
    expect(readAll('').reader.refused).toBe('it is empty');
    expect(readAll('id,value\n1,2\n').reader.refused).toMatch('no recording');
  });
});

describe('writing a recording', () => {
  const line = (n: number): Observation => ({ kind: 'printed', at: us(n), line: `line ${n}` });

  it('hands on each observation within a second', async () => {
    const clock = new VirtualClock();
    const written: string[] = [];
    const writer = new SessionWriter(
      head,
      { append: (text) => Promise.resolve(void written.push(text)) },
      clock,
      () => undefined,
    );
    const settle = async (): Promise<void> => {
      for (let i = 0; i < 5; i++) await Promise.resolve();
    };
    await settle();
    expect(written).toEqual([`${headLine(head)}\n`]);
    writer.take(line(1));
    clock.advance(us(400_000));
    writer.take(line(2));
    await settle();
    expect(written).toHaveLength(1);
    clock.advance(us(100_000));
    await settle();
    expect(written[1]).toBe(`${observationLine(line(1))}\n${observationLine(line(2))}\n`);
    writer.take(line(3));
    expect(await writer.end()).toBe(true);
    expect(written[2]).toBe(`${observationLine(line(3))}\n`);
    expect(writer.count).toBe(3);
  });

  it('tells once that the place takes no more, and goes on', async () => {
    const clock = new VirtualClock();
    let calls = 0;
    const failures: unknown[] = [];
    const full = {
      append: (): Promise<void> => {
        calls += 1;
        return calls > 1 ? Promise.reject(new Error('full')) : Promise.resolve();
      },
    };
    const writer = new SessionWriter(head, full, clock, (error) => failures.push(error));
    for (let n = 1; n < 5; n++) {
      writer.take(line(n));
      writer.flush();
    }
    expect(await writer.end()).toBe(false);
    expect(failures).toHaveLength(1);
    expect(calls).toBe(2);
  });
});
