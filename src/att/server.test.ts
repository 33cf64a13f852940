import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryPdu } from '../../test/support/arbitrary-pdu.ts';
import { bondedLink, hex, ServerBench } from '../../test/support/att-bench.ts';
import { labTable } from '../../test/support/att-table.ts';
import { us } from '../base/quantity.ts';
import { isCommand, opcodeEntry, opcodes } from '../numbers/att-opcodes.ts';
import { openLink } from './link.ts';
import { encodePdu } from './pdu.ts';
import { attServer, defaultServerOptions, startServer } from './server.ts';
import type { ServerEffect, ServerEvent, ServerState } from './server-model.ts';

describe('what is no request', () => {
  it.each([
    ['no octets', ''],
    ['a response', '0b2a'],
    ['an error', '010a100001'],
    ['a notification', '1b100001'],
    ['an indication', '1d100001'],
    ['several notifications', '23 1000 0100 01 1000 0100 01'],
    ['an unexpected confirmation', '1e'],
    ['an unknown command', '7f 0102'],
    ['an unknown signed command', 'ff 0102'],
    ['a cut command', '52 10'],
    ['a response that is no PDU', '05'],
  ])('is ignored: %s', (_, octets) => {
    const bench = new ServerBench(labTable());
    const before = bench.state;
    expect(bench.ask(octets)).toBe('');
    expect(bench.effects).toEqual([]);
    expect(bench.state).toBe(before);
  });
});

describe('what cannot be served', () => {
  it.each([
    ['an opcode that is not assigned', '14', '0114000006'],
    ['another with content', '3e 0102', '013e000006'],
    ['opcode 0', '00', '0100000006'],
    ['one with a signature but no command', '92 1000', '0192000006'],
    ['a request that is too short', '0a 10', '010a000004'],
    ['a request that is too long', '0a 1000 00', '010a000004'],
    ['a request without content', '12', '0112000004'],
    ['flags that are not assigned', '18 02', '0118000004'],
    ['a request over the MTU', `12 1300 ${'61'.repeat(21)}`, '0112000004'],
  ])('is refused: %s', (_, octets, response) => {
    const bench = new ServerBench(labTable());
    expect(bench.ask(octets)).toBe(response);
  });

  it('is ignored from who is not connected', () => {
    const bench = new ServerBench(labTable());
    expect(bench.ask('0a 1000', 9)).toBe('');
    bench.disconnect(9);
    bench.secure(bondedLink, 9);
    bench.disconnect(1);
    expect(bench.ask('0a 1000', 1)).toBe('');
  });
});

/** Each request breaks two rules or more; the code is of the rule that comes first. Core Vol 3 Part F 3.4. */
describe('precedence of errors', () => {
  it.each([
    ['PDU before handle', '0a 00', 0x04],
    ['handle before permission', '0a 0000', 0x01],
    ['permission before security', '12 1600 01', 0x03],
    ['security before offset', '0c 1b00 ffff', 0x05],
    ['security before length', '12 1b00', 0x05],
    ['permission before offset', '0c 2000 ffff', 0x02],
    ['offset before not long', '0c 1000 ffff', 0x07],
    ['length before value', '12 1000 ffff', 0x0d],
    ['range of handles before group type', '10 0000 ffff 0328', 0x01],
    ['group type before not found', '10 9000 ffff 0328', 0x10],
    ['length of a CCCD before its bits', '12 1100 ffffff', 0x0d],
    ['security of a CCCD before its bits', '12 1c00 ffff', 0x05],
  ])('%s', (_, request, code) => {
    const response = new ServerBench(labTable()).ask(request);
    expect(response.slice(-2)).toBe(code.toString(16).padStart(2, '0'));
  });
});

describe('what the board does', () => {
  it('starts from the contract', () => {
    const table = labTable();
    expect(startServer(table)).toEqual({
      values: table.values.map(({ start }) => start),
      descriptions: new Map(),
      connections: new Map(),
      bonds: new Map(),
    });
    expect(defaultServerOptions(labTable(185))).toEqual({
      maxMtu: 185,
      // 512 octets in parts of 18 with 4 octets each, and half as much again: 1.5 × (512 + 29 × 4), to a multiple of 4.
      prepareQueueBytes: 944,
      transactionTimeout: 30_000_000,
    });
  });

  it('sets only values that exist', () => {
    const bench = new ServerBench(labTable());
    const before = bench.state;
    bench.set(99, '01');
    bench.set(-1, '01');
    expect(bench.state).toBe(before);
    expect(bench.publish(99)).toEqual([]);
  });

  it('leaves a state alone that was handed out', () => {
    const bench = new ServerBench(labTable());
    const before = bench.state;
    const copy = structuredClone(before);
    bench.ask('12 1000 05');
    bench.ask('12 1100 0100');
    bench.ask('16 1300 0000 61');
    bench.ask('02 6400');
    expect(before).toEqual(copy);
  });
});

const code = fc.constantFrom(...opcodes.map((entry) => entry.code), 0x14, 0x7f);
const handle = fc.oneof(fc.integer({ min: 1, max: 0x24 }), fc.constantFrom(0, 0xffff));
const u16 = (value: number): number[] => [value & 0xff, value >> 8];

/** Requests that are about something: mostly well-formed, at handles that exist. */
const likelyPdu: fc.Arbitrary<Uint8Array> = fc.oneof(
  fc
    .tuple(fc.constantFrom(0x0a, 0x0c, 0x12, 0x16, 0x52), handle, fc.uint8Array({ maxLength: 24 }))
    .map(([opcode, at, rest]) => Uint8Array.of(opcode, ...u16(at), ...rest)),
  fc
    .tuple(handle, handle, fc.constantFrom(0x2800, 0x2803, 0x2b2a, 0x2902))
    .chain(([start, end, type]) =>
      fc.constantFrom(
        Uint8Array.of(0x04, ...u16(start), ...u16(end)),
        Uint8Array.of(0x08, ...u16(start), ...u16(end), ...u16(type)),
        Uint8Array.of(0x10, ...u16(start), ...u16(end), ...u16(type)),
        Uint8Array.of(0x0e, ...u16(start), ...u16(end)),
        Uint8Array.of(0x20, ...u16(start), ...u16(end)),
      ),
    ),
  fc.constantFrom(
    hex('1801'),
    hex('1800'),
    hex('1e'),
    hex('020502'),
    hex('023200'),
    hex('120b0007'),
    hex('1209000200'),
  ),
  fc.constantFrom(hex('1211000100'), hex('1219000200'), hex('1223000300'), hex('121c000100')),
  fc.tuple(code, fc.uint8Array({ maxLength: 30 })).map(([opcode, rest]) => Uint8Array.of(opcode, ...rest)),
  fc.uint8Array({ maxLength: 30 }),
  arbitraryPdu.map(encodePdu),
);

const connection = fc.constantFrom(1, 1, 1, 2, 3);

const arbitraryEvent: fc.Arbitrary<ServerEvent> = fc.oneof(
  {
    weight: 12,
    arbitrary: fc.record({ kind: fc.constant('received'), connection, pdu: likelyPdu } as const),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('connected'),
      connection,
      peer: fc.constantFrom('first', 'second'),
    } as const),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('disconnected'), connection } as const) },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('security'),
      connection,
      security: fc.constantFrom(bondedLink, openLink, { ...openLink, encrypted: true }),
    } as const),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constant('set'),
      index: fc.nat(8),
      value: fc.uint8Array({ maxLength: 600 }),
    } as const),
  },
  { weight: 2, arbitrary: fc.record({ kind: fc.constant('publish'), index: fc.nat(8) } as const) },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('publish-together'), indices: fc.array(fc.nat(8)) } as const),
  },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('database-changed'), start: handle, end: handle } as const),
  },
  { weight: 1, arbitrary: fc.constant({ kind: 'time' } as const) },
);

function sentTo(effects: readonly ServerEffect[], id: number): Uint8Array[] {
  return effects.flatMap((effect) => (effect.kind === 'send' && effect.connection === id ? [effect.pdu] : []));
}

/** What a refusal may change: the queue that Execute Write gives up, and that the client was told. */
function withoutBookkeeping(state: ServerState): ServerState {
  const connections = [...state.connections].map(
    ([id, each]) => [id, { ...each, prepared: [], changeAware: 'aware' as const }] as const,
  );
  return { ...state, connections: new Map(connections) };
}

describe('whatever happens', () => {
  const story = fc.array(fc.tuple(fc.constantFrom(0, 0, 0, 1_000_000, 31_000_000), arbitraryEvent), { maxLength: 60 });

  it('each request has exactly one response within the MTU, and a refusal changes nothing', () => {
    fc.assert(
      fc.property(story, (events) => {
        const bench = new ServerBench(labTable(), { prepareQueueBytes: 60 });
        for (const [passed, event] of events) {
          bench.at = us(bench.at + passed);
          const before = bench.state;
          const mtus = new Map([...before.connections].map(([id, { mtu }]) => [id, mtu]));
          const effects = bench.event(event);
          for (const effect of effects) {
            if (effect.kind !== 'send') continue;
            const now = bench.state.connections.get(effect.connection);
            expect(now).toBeDefined();
            expect(effect.pdu.length).toBeLessThanOrEqual(Math.max(now?.mtu ?? 0, mtus.get(effect.connection) ?? 0));
            expect(now?.dead).toBe(false);
          }
          if (event.kind !== 'received') continue;
          const alive = bench.state.connections.get(event.connection)?.dead === false;
          const opcode = event.pdu[0];
          const isRequest =
            opcode !== undefined && (opcodeEntry(opcode)?.kind ?? (isCommand(opcode) ? '' : 'request')) === 'request';
          const responses = sentTo(effects, event.connection).filter(
            (pdu) => opcodeEntry(pdu[0] ?? 0)?.kind === 'response',
          );
          expect(responses.length).toBe(alive && isRequest ? 1 : 0);
          const [response] = responses;
          if (response === undefined || opcode === undefined) continue;
          if (response[0] === 0x01) {
            expect(response[1]).toBe(opcode);
            // An indication that waited may follow a response that made the client aware.
            if (sentTo(effects, event.connection).length === 1 && passed === 0) {
              expect(withoutBookkeeping(bench.state)).toEqual(withoutBookkeeping(before));
            }
          } else {
            expect(response[0]).toBe(opcode + 1);
          }
        }
      }),
      { numRuns: 300 },
    );
  });

  it('at most one indication waits at each client for its confirmation', () => {
    fc.assert(
      fc.property(fc.array(arbitraryEvent, { maxLength: 60 }), (events) => {
        const bench = new ServerBench(labTable());
        bench.ask('12 1900 0200');
        bench.ask('12 0900 0200');
        const waiting = new Map<number, number>();
        for (const event of events) {
          const confirmed =
            event.kind === 'received' && event.pdu.length === 1 && event.pdu[0] === 0x1e ? event.connection : undefined;
          if (confirmed !== undefined) waiting.set(confirmed, 0);
          if (event.kind === 'connected' || event.kind === 'disconnected') waiting.set(event.connection, 0);
          bench.event(event);
          for (const id of [1, 2, 3]) {
            const indications = sentTo(bench.effects, id).filter((pdu) => pdu[0] === 0x1d).length;
            waiting.set(id, (waiting.get(id) ?? 0) + indications);
            expect(waiting.get(id)).toBeLessThanOrEqual(1);
          }
        }
      }),
      { numRuns: 100 },
    );
  });

  it('the same events give the same state and effects', () => {
    fc.assert(
      fc.property(fc.array(arbitraryEvent, { maxLength: 30 }), (events) => {
        const table = labTable();
        const run = (): unknown => {
          let state = startServer(table);
          const effects: ServerEffect[] = [];
          for (const event of events) {
            const step = attServer(table, defaultServerOptions(table), state, event, us(0));
            state = step.state;
            effects.push(...step.effects);
          }
          return { state, effects };
        };
        expect(run()).toEqual(run());
      }),
      { numRuns: 50 },
    );
  });
});
