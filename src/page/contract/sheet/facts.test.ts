import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { check } from '../../../table/check.ts';
import { attributeLines } from './attribute-rows.ts';
import { factsOf } from './facts.ts';

const tableOf = (example: string) => {
  const file = new URL(`../../../../examples/${example}/contract.yaml`, import.meta.url);
  return check(readFileSync(file, 'utf8')).value!.table;
};

/** The facts of a value of an example, `■ term: words`. */
function facts(example: string, id: string): readonly string[] {
  const value = tableOf(example).values.find((candidate) => candidate.id === id)!;
  return factsOf(value).map(({ side, term, words }) => `${side === 'board' ? '■' : '●'} ${term}: ${words}`);
}

describe('what the sheet says of a value', () => {
  it('is its range, its register and what becomes of it', () => {
    // The word is 0.5 Hz × 2^32 / 20 kHz = 107374.18, and a step of it 20 kHz / 2^32 (recomputed).
    expect(facts('wave-tank', 'paddle')).toEqual([
      '■ Type: uint16',
      '■ Range: 0 to 4 Hz',
      '■ One step: 0.01 Hz, as needed',
      '■ Unit: hertz',
      '■ At power-up: 0.5 Hz',
      '■ Drive: phase accumulator, 32 bits at 20 kHz; one step of the word is ≈4.66\u00a0×\u00a010⁻⁶ Hz',
      '■ Register: at power-up word 0x0001A36E, really ≈0.499999151 Hz, error ≈-849 nHz',
      '■ Link lost: becomes 0 Hz within 2 s',
      '● Access: read, write',
      '● Refuses: other values with 0xFF Out of Range',
    ]);
  });

  it('names what a struct, an enumeration and flags are made of', () => {
    expect(facts('wave-tank', 'calibration')).toContain('■ Gain: sint16, 0.5 to 2');
    expect(facts('wave-tank', 'dye')).toContain('■ Type: enum uint8: 0 none, 1 fluorescein, 2 rhodamine');
    expect(facts('greenhouse', 'alarms')).toContain(
      '■ Type: flags uint8: bit 0 tank empty, bit 1 frost, bit 2 too hot, bit 3 probe open, bit 7 door open',
    );
  });

  it('tells what the link must be, and how often it is told', () => {
    expect(facts('wave-tank', 'calibration')).toContain('● Needs: encryption');
    expect(facts('dimmer', 'scene')).toContain('● Needs: encryption to write');
    expect(facts('telescope', 'rate')).toContain('● Needs: LE Secure Connections to write');
    expect(facts('wave-tank', 'level')).toContain('● Tells: notifies every 50 ms, at most 20 a second');
    expect(facts('seismograph', 'event')).toContain('● Tells: notifies on change, at most once in 2 s');
    expect(facts('greenhouse', 'alarms')).toContain('● Tells: indicates on change, at most once a second');
    expect(facts('dimmer', 'levels').at(-1)).toMatch(/^● Refuses: other values with .*0x80/);
  });

  it.each(['wave-tank', 'dimmer', 'greenhouse', 'seismograph', 'telescope'])(
    'has words for every value of %s',
    (example) => {
      for (const value of tableOf(example).values) {
        for (const { term, words } of factsOf(value)) {
          expect(term).not.toBe('');
          expect(words).not.toMatch(/undefined|\[object|NaN/);
        }
      }
    },
  );
});

describe('the lines of the attribute table', () => {
  it('are the rows in order, with the handles that are free between them', () => {
    const table = tableOf('dimmer');
    const lines = attributeLines(table);
    expect(lines.filter(({ kind }) => kind === 'attribute')).toHaveLength(table.rows.length);
    const gap = lines.findIndex(({ kind }) => kind === 'gap');
    expect(lines[gap]).toEqual({ kind: 'gap', from: '0x0015', to: '0x003F' });
    expect(lines[gap + 1]).toMatchObject({ handle: '0x0040', type: 'Primary Service', uuid: '2800', opens: true });
  });

  it('say what a value permits, and cut what is long', () => {
    const lines = attributeLines(tableOf('dimmer'));
    expect(lines).toContainEqual(
      expect.objectContaining({
        type: 'levels',
        permissions: 'read, write (encrypted), write without response (encrypted)',
        octets: '00 00 00 00 00 00 00 00 00 00 00 00',
      }),
    );
    const plan = attributeLines(tableOf('greenhouse')).find(
      (line) => line.kind === 'attribute' && line.type === 'plan',
    );
    expect(plan).toMatchObject({ octets: `${'00 '.repeat(24)}… 48 octets` });
  });
});
