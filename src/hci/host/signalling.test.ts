import { describe, expect, it } from 'vitest';
import { fromHex, toHex } from '../../base/bytes.ts';
import { isAllowedWish } from '../l2cap-signalling.ts';
import { answerSignal, refusePairing } from './signalling.ts';

const answer = (octets: string, role: 'central' | 'peripheral') => answerSignal(fromHex(octets)!, role, isAllowedWish);
const reply = (octets: string, role: 'central' | 'peripheral') => {
  const { reply: given } = answer(octets, role);
  return given === undefined ? undefined : toHex(given, ' ');
};

/** 30 ms to 50 ms, latency 0, 4 s. */
const wish = '12 07 08 00 18 00 28 00 00 00 90 01';

describe('signalling', () => {
  it('grants a central’s peer the parameters it wishes', () => {
    expect(reply(wish, 'central')).toBe('13 07 02 00 00 00');
    expect(answer(wish, 'central').update).toEqual({ intervalMin: 24, intervalMax: 40, latency: 0, timeout: 400 });
  });

  it('refuses parameters that the standard does not allow', () => {
    const backwards = '12 07 08 00 28 00 18 00 00 00 90 01';
    expect(reply(backwards, 'central')).toBe('13 07 02 00 01 00');
    expect(answer(backwards, 'central').update).toBeUndefined();
  });

  it.each([
    // Only a peripheral asks: Core Vol 3 Part A 4.20.
    ['a wish from a central', wish, 'peripheral'],
    ['a wish cut short', '12 07 06 00 18 00 28 00 00 00', 'central'],
    ['a connection-oriented channel', '14 07 0a 00 80 00 40 00 17 00 17 00 01 00', 'peripheral'],
    ['an echo', '08 07 00 00', 'central'],
    ['a code that nobody knows', 'f0 07 01 00 aa', 'peripheral'],
  ] as const)('rejects %s as not understood', (_, octets, role) => {
    expect(reply(octets, role)).toBe('01 07 02 00 00 00');
  });

  it('rejects a packet of more than 23 octets with what it takes', () => {
    expect(reply(`08 09 14 00 ${'aa '.repeat(20)}`, 'peripheral')).toBe('01 09 04 00 01 00 17 00');
  });

  it.each([
    ['a rejection', '01 07 02 00 00 00'],
    ['a response to a wish', '13 07 02 00 00 00'],
    ['a response to something else', '15 07 0a 00 00 00 00 00 00 00 00 00 02 00'],
    ['credit', '16 07 04 00 40 00 01 00'],
    ['a packet whose length is wrong', '08 07 05 00 aa'],
    ['a packet without identifier', '08 00 00 00'],
    ['nothing', ''],
  ])('does not answer %s', (_, octets) => {
    expect(reply(octets, 'central')).toBeUndefined();
    expect(reply(octets, 'peripheral')).toBeUndefined();
  });
});

describe('pairing', () => {
  const refused = (octets: string, role: 'central' | 'peripheral') => {
    const given = refusePairing(fromHex(octets)!, role);
    return given === undefined ? undefined : toHex(given, ' ');
  };

  it('fails at the request, as not supported', () => {
    expect(refused('01 03 00 01 10 00 00', 'peripheral')).toBe('05 05');
    expect(refused('0b 01', 'central')).toBe('05 05');
  });

  it.each(['05 05', '03 00', '02 03 00 01 10 00 00', '0c', ''])('is not answered elsewhere: %s', (octets) => {
    expect(refused(octets, 'peripheral')).toBeUndefined();
    expect(refused(octets, 'central')).toBeUndefined();
  });
});
