import { describe, expect, it } from 'vitest';
import { parseRational, type Rational } from '../../base/rational.ts';
import { us } from '../../base/quantity.ts';
import { uuid16 } from '../../base/uuid.ts';
import type { ValueDefinition } from '../../table/model.ts';
import { unscaled, type IntegerType, type ValueType } from '../../values/type.ts';
import { Trace } from '../stores/trace.ts';
import type { Act } from '../stores/values.ts';
import { instrumentOf, unitsOf } from './instrument-kind.ts';
import { outcomeWords } from './outcome-words.ts';
import { linkLossText, needsText, sideText } from './plate-text.ts';
import { ageWords, agreement, airWords, betweenWords, delayOf, tracedDelay } from './sides-words.ts';
import { writeHint } from './write-hint.ts';

const r = (text: string): Rational => parseRational(text)!;
const hertz: IntegerType = {
  kind: 'integer',
  signed: false,
  bits: 16,
  scale: { ...unscaled, decimal: -2 },
  unit: 0x2722,
  range: { min: r('0'), max: r('4') },
  bounded: true,
  step: undefined,
  special: [],
};

function definition(change: Partial<ValueDefinition> = {}): ValueDefinition {
  return {
    index: 0,
    id: 'paddle',
    label: 'Paddle frequency',
    service: 'tank',
    uuid: uuid16(0x2a00),
    handle: 3,
    cccd: undefined,
    type: hertz,
    access: ['read', 'write'],
    needs: { read: 'open', write: 'open', subscribe: 'open' },
    notify: undefined,
    minLength: 2,
    maxLength: 2,
    start: new Uint8Array(2),
    onLinkLoss: { kind: 'unsaid' },
    drive: undefined,
    actuator: false,
    refuseWith: 0xff,
    at: { start: 0, end: 0 },
    ...change,
  };
}

const written = (value: number[], code: number): Act => ({
  kind: 'write',
  value: Uint8Array.from(value),
  pending: false,
  failure: { kind: 'att-error', code, handle: 3 },
});

describe('outcomeWords', () => {
  it('says what was refused and what is allowed, the ATT error behind it', () => {
    expect(outcomeWords(definition(), written([0xf4, 0x01], 0xff))).toEqual({
      text: 'The board refused 5 Hz: allowed 0 to 4 Hz',
      detail: '0xFF Out of Range',
      wantsEncryption: false,
    });
    expect(outcomeWords(definition(), written([1, 2, 3], 0x0d))?.text).toBe(
      'The board refused 3 octets: allowed 2 octets',
    );
  });

  it('names what a choice may be', () => {
    const type: ValueType = {
      kind: 'enum',
      bits: 8,
      names: [
        { code: 0n, name: 'none' },
        { code: 1n, name: 'fluorescein' },
      ],
    };
    expect(outcomeWords(definition({ type }), written([7], 0xff))?.text).toBe(
      'The board refused 7 (no name): allowed none, fluorescein',
    );
  });

  it('wonders at a refusal of what the contract allows', () => {
    expect(outcomeWords(definition(), written([0x32, 0x00], 0x80))?.text).toBe(
      'The board refused 0.5 Hz, which the contract allows.',
    );
  });

  it('offers encryption where that is what is missing', () => {
    const needs = { read: 'open', write: 'encrypted', subscribe: 'open' } as const;
    const outcome = outcomeWords(definition({ needs }), written([0, 0], 0x05));
    expect(outcome).toEqual({
      text: 'The board wants an encrypted link for this.',
      detail: '0x05 Insufficient Authentication',
      wantsEncryption: true,
    });
  });

  it('has nothing to say of what went well', () => {
    expect(outcomeWords(definition(), { ...written([0, 0], 0), failure: undefined })).toBeUndefined();
    expect(outcomeWords(definition(), undefined)).toBeUndefined();
  });
});

describe('truth beside air', () => {
  const truth = (ms: number, ...raw: number[]) => ({ index: 0, ms, raw: Uint8Array.from(raw), cause: 'rig' as const });
  const air = (ms: number, how: 'read' | 'written' | 'notified', ...raw: number[]) => ({
    index: 0,
    ms,
    raw: Uint8Array.from(raw),
    how,
  });
  const notify = { on: { kind: 'change' }, minSpacing: us(1_000_000) } as const;
  const quiet = { notify: undefined };

  it('agrees when the octets are the same', () => {
    expect(agreement(quiet, truth(5, 1), air(9, 'read', 1), 0, 10)).toBe('same');
    expect(agreement(quiet, undefined, air(9, 'read', 1), 0, 10)).toBe('unknown');
  });

  it('sees that the board has moved on since it was read', () => {
    expect(agreement(quiet, truth(5000, 2), air(1000, 'read', 1), 0, 9000)).toBe('moved-on');
  });

  it('differs when the board did not take over what was written', () => {
    expect(agreement(quiet, truth(1000, 2), air(5000, 'written', 1), 0, 9000)).toBe('differs');
  });

  it('gives a subscription the time its policy allows, and not more', () => {
    expect(agreement({ notify }, truth(9500, 2), air(9000, 'notified', 1), 1, 10_000)).toBe('on-its-way');
    expect(agreement({ notify }, truth(5000, 2), air(4000, 'notified', 1), 1, 10_000)).toBe('differs');
  });

  it('tells the delay of an event that is on both sides', () => {
    expect(delayOf(truth(100, 1), air(121, 'notified', 1))).toBe(21);
    expect(delayOf(truth(100, 2), air(121, 'notified', 1))).toBeUndefined();
    expect(delayOf(truth(100, 1), air(121, 'read', 1))).toBeUndefined();
    expect(airWords(air(121, 'notified', 1), 4200)).toBe('notified 4 s ago');
    expect(airWords(air(121, 'read', 1), 400)).toBe('read now');
    expect(betweenWords('same', 21)).toBe('21 ms behind');
    expect(betweenWords('on-its-way', 21)).toBe('21 ms behind; a newer one is on its way');
    expect(betweenWords('moved-on', 21)).toBe('the board has moved on since');
  });

  it('finds the event that has just crossed when the board has gone on', () => {
    const trace = (...samples: (readonly [number, number])[]): Trace => {
      const one = new Trace();
      for (const [time, value] of samples) one.add(time, value);
      return one;
    };
    const board = trace([100, 1], [150, 2], [200, 3], [250, 4]);
    expect(tracedDelay(board, trace([120, 1], [221, 3]))).toBe(21);
    expect(tracedDelay(board, trace([221, 7]))).toBeUndefined();
    expect(tracedDelay(trace([100, 3]), trace([5000, 3]))).toBeUndefined();
    expect(tracedDelay(board, trace())).toBeUndefined();
    // Sent again and again, it is as late as it was when it came first.
    expect(tracedDelay(trace([100, 1], [150, 2]), trace([160, 1], [171, 2], [400, 2], [900, 2]))).toBe(21);
  });

  it('tells ages calmly', () => {
    expect([0, 999, 1000, 59_999, 60_000, 7_200_000].map(ageWords)).toEqual([
      'now',
      'now',
      '1 s ago',
      '59 s ago',
      '1 min ago',
      '2 h ago',
    ]);
  });
});

describe('what stands on a plate', () => {
  it('has a fixed count of places', () => {
    expect(sideText(hertz, Uint8Array.of(0x32, 0))).toBe('0.50 Hz');
    expect(sideText({ kind: 'boolean' }, Uint8Array.of(1))).toBe('on');
  });

  it('says what becomes of the value without a link', () => {
    const onLinkLoss = { kind: 'set', raw: new Uint8Array(2), within: us(2_000_000) } as const;
    expect(linkLossText(definition({ onLinkLoss }))).toBe('0.00 Hz within 2 s when the link is lost');
    expect(linkLossText(definition())).toBe('');
    expect(linkLossText(definition({ actuator: true }))).toContain('does not say');
  });

  it('says which acts need which link', () => {
    const needs = { read: 'open', write: 'authenticated', subscribe: 'open' } as const;
    expect(needsText(definition({ needs }))).toBe('Write needs a link with an authenticated key.');
    expect(needsText(definition({ needs: { read: 'encrypted', write: 'encrypted', subscribe: 'encrypted' } }))).toBe(
      'Read and write need an encrypted link.',
    );
    expect(needsText(definition())).toBe('');
  });

  // A Write Request carries MTU - 3 octets, a Prepare Write Request MTU - 5: Core Vol 3 Part F 3.4.5.1 and 3.4.6.1.
  it('says how a long text crosses', () => {
    expect(writeHint(20, 23)).toBe('fits one write');
    expect(writeHint(21, 23)).toBe('takes 2 prepared writes at MTU 23');
    expect(writeHint(60, 23)).toBe('takes 4 prepared writes at MTU 23');
  });
});

describe('instrumentOf', () => {
  const count: IntegerType = { ...hertz, scale: unscaled, unit: 0x2700, bounded: false };

  it('follows type and access', () => {
    expect(instrumentOf(definition())).toBe('dial');
    expect(instrumentOf(definition({ access: ['read', 'notify'] }))).toBe('meter');
    expect(instrumentOf(definition({ type: count, access: ['read', 'notify'] }))).toBe('counter');
    expect(instrumentOf(definition({ type: count }))).toBe('figure');
    expect(instrumentOf(definition({ type: { kind: 'boolean' } }))).toBe('switch');
    expect(instrumentOf(definition({ type: { kind: 'boolean' }, access: ['read'] }))).toBe('lamps');
    const array: ValueType = { kind: 'array', element: hertz, minCount: 4, maxCount: 4 };
    expect(instrumentOf(definition({ type: array }))).toBe('bars');
  });

  it('gives a meter twice the width of a dial, and a switch half', () => {
    expect(unitsOf(definition())).toBe(2);
    expect(unitsOf(definition({ access: ['notify'] }))).toBe(4);
    expect(unitsOf(definition({ type: { kind: 'boolean' } }))).toBe(1);
  });
});
