import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  longestConsoleLine,
  parseConsoleLine,
  printConsoleLine,
  type ConsoleLine,
  type ConsoleNote,
} from './console.ts';

const ms = fc.nat(0xffff_ffff);
const id = fc.stringMatching(/^[a-z][a-z0-9-]{0,31}$/);
const octets = fc.uint8Array({ maxLength: 40 });
const text = fc.string({ unit: 'grapheme', maxLength: 40 });
const word = fc.stringMatching(/^[a-z-]{1,20}$/);
const client = fc.nat(1000);
const security = fc.constantFrom('open' as const, 'encrypted', 'authenticated', 'secure-connections');
const mode = fc.constantFrom('notify' as const, 'indicate', 'both');
const kind = <K extends string>(value: K): fc.Arbitrary<K> => fc.constant(value);

/** Any UTF-16 units, lone surrogates and control characters included. */
const junk = fc.uint16Array({ maxLength: 12 }).map((units) => String.fromCharCode(...units));

const note: fc.Arbitrary<ConsoleNote> = fc.oneof(
  fc.record({ kind: kind('start'), hash: octets }),
  fc.record({ kind: kind('advertising'), on: fc.boolean() }),
  fc.record({ kind: kind('connected'), client, peer: text }),
  fc.record({ kind: kind('disconnected'), client, how: fc.constantFrom('lost' as const, 'terminated') }),
  fc.record({ kind: kind('secured'), client, security }),
  fc.record({ kind: kind('subscribed'), client, id, mode: fc.oneof(mode, kind('off')) }),
  fc.record({
    kind: kind('refused'),
    client,
    id,
    access: fc.constantFrom('read' as const, 'write'),
    code: fc.nat(255),
  }),
  fc.record({ kind: kind('armed'), id, due: ms }),
  fc.record({ kind: kind('disarmed'), id }),
  fc.record({ kind: kind('lost'), count: ms }),
  fc.record({ kind: kind('rig-stopped'), message: text }),
);

const line: fc.Arbitrary<ConsoleLine> = fc.oneof(
  fc.record({
    kind: kind('tell'),
    ms,
    id,
    value: octets,
    cause: fc.constantFrom('start' as const, 'rig', 'air', 'console', 'failsafe'),
  }),
  fc.record({ kind: kind('note'), ms, event: note }),
  fc.record({ kind: kind('value'), ms, id, value: octets, text: fc.option(text, { nil: undefined }) }),
  fc.record({
    kind: kind('client'),
    client,
    peer: text,
    since: ms,
    mtu: fc.integer({ min: 23, max: 517 }),
    security,
    subscriptions: fc.array(fc.record({ id, mode }), { maxLength: 3 }),
  }),
  fc.record({ kind: kind('hash'), specification: octets, onAir: octets }),
  fc.record({ kind: kind('time'), ms }),
  fc.record({ kind: kind('screen'), text }),
  fc.record({ kind: kind('help'), text }),
  fc.record({ kind: kind('done'), command: word }),
  fc.record({
    kind: kind('error'),
    command: word,
    reason: fc.constantFrom('range' as const, 'no-client'),
    message: text,
  }),
);

describe('a console line', () => {
  it('is read back as it was printed', () => {
    fc.assert(
      fc.property(line, (given) => {
        const printed = printConsoleLine(given);
        expect(printed).not.toMatch(/[\r\n]/);
        expect(parseConsoleLine(printed)).toEqual(given);
      }),
      { numRuns: 300 },
    );
  });

  it('is read or not, whatever comes down the wire', () => {
    const noise = fc.oneof(
      junk,
      fc.tuple(line, fc.nat(60), junk).map(([whole, at, other]) => {
        const printed = printConsoleLine(whole);
        return printed.slice(0, at) + other + printed.slice(at + other.length);
      }),
    );
    fc.assert(
      fc.property(noise, (given) => {
        const parsed = parseConsoleLine(given);
        // What is accepted is a line of the protocol: printed and read again it says the same.
        if (parsed !== undefined) expect(parseConsoleLine(printConsoleLine(parsed))).toEqual(parsed);
      }),
      { numRuns: 300 },
    );
  });

  it.each([
    '',
    ' ',
    'tell',
    'tell 1 paddle 3200',
    'tell 1 paddle 3200 rig ',
    'tell 1 paddle 3200 rigs',
    'tell 1  paddle 3200 rig',
    'tell 01 paddle 3200 rig',
    'tell 4294967296 paddle 3200 rig',
    'tell -1 paddle 3200 rig',
    'tell 1 paddle 320 rig',
    'tell 1 paddle 32AB rig',
    'tell 1 Paddle 3200 rig',
    'tell 1 paddle  rig',
    'Tell 1 paddle 3200 rig',
    'note 1 something new',
    'note 1 refused 1 paddle write fff',
    'client 1 a 0 23 open level',
    'value 1 paddle 3200 \\q',
    'done',
    'ets Jul 29 2019 12:21:46',
  ])('is not %j', (given) => {
    expect(parseConsoleLine(given)).toBeUndefined();
  });

  it('keeps the truth of 512 octets within the longest line', () => {
    const value = new Uint8Array(512);
    const longest = printConsoleLine({ kind: 'value', ms: 1, id: 'a', value, text: '\u0001'.repeat(512) });
    expect(longest.length).toBeLessThanOrEqual(longestConsoleLine);
    expect(parseConsoleLine(longest)).toBeDefined();
    expect(parseConsoleLine(`help ${'x'.repeat(longestConsoleLine)}`)).toBeUndefined();
  });
});
