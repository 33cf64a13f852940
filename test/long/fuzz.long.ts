import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { VirtualClock } from '../../src/base/clock.ts';
import { us } from '../../src/base/quantity.ts';
import { decodePdu } from '../../src/att/pdu.ts';
import { defaultRig } from '../../src/board/default-rig.ts';
import { parseConsoleLine } from '../../src/board/console.ts';
import { VirtualBoard } from '../../src/board/virtual-board.ts';
import { check } from '../../src/table/check.ts';
import { mutatedText } from '../support/mutated-text.ts';

const examples = new URL('../../examples/', import.meta.url);
const texts = readdirSync(examples, { withFileTypes: true }).flatMap((entry) =>
  entry.isDirectory() ? [readFileSync(new URL(`${entry.name}/contract.yaml`, examples), 'utf8')] : [],
);

describe('whatever is sent, nothing throws', () => {
  it('a contract with mistakes ends in findings', () => {
    for (const text of texts) {
      fc.assert(
        fc.property(mutatedText(text), (mutated) => {
          const { value, findings } = check(mutated);
          expect(value !== undefined || findings.length > 0).toBe(true);
        }),
        { numRuns: 4000 },
      );
    }
  });

  it('a board answers or ignores any octets, and goes on', () => {
    for (const text of texts) {
      const { table } = check(text).value!;
      const clock = new VirtualClock();
      const board = new VirtualBoard(table, { clock, rig: defaultRig(table) });
      board.start();
      const connection = board.connect('fuzz', { receive: () => undefined, closed: () => undefined })!;
      fc.assert(
        fc.property(fc.uint8Array({ maxLength: 60 }), fc.nat(100_000), (octets, wait) => {
          connection.send(octets);
          clock.advance(us(wait));
        }),
        { numRuns: 20_000 },
      );
      board.stop();
    }
  });

  it('decoders of packets and console lines are total', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 600 }), (octets) => {
        decodePdu(octets);
        parseConsoleLine(String.fromCharCode(...octets));
      }),
      { numRuns: 200_000 },
    );
  });
});
