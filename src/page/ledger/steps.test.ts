import { describe, expect, it } from 'vitest';
import { us } from '../../base/quantity.ts';
import type { Entry } from '../../ledger/entry.ts';
import { stepOf } from './steps.ts';

const base = { value: 0, at: us(5000), asked: us(2000), connection: 1, raw: Uint8Array.of(1) };
const air = { ...base, kind: 'air', version: 1, delay: 15_000, mark: undefined, by: 0 } as const;

describe('steps of the exchange', () => {
  it('go between those who take part', () => {
    const way = (entry: Entry): string => {
      const { from, to, both, broken, at } = stepOf(entry);
      return `${from} ${both ? '<->' : broken ? '-x' : '->'} ${to} at ${at}`;
    };
    expect(way({ kind: 'truth', value: 0, version: 1, at: us(5000), ms: 5, raw: base.raw, cause: 'rig' })).toBe(
      'rig -> board at 5000',
    );
    expect(way({ ...air, way: 'notified' })).toBe('board -> central at 5000');
    expect(way({ ...air, way: 'read' })).toBe('central <-> board at 2000');
    expect(way({ ...air, way: 'written' })).toBe('central -> board at 2000');
    expect(way({ ...air, way: 'written', mark: 'lost' })).toBe('central -x board at 2000');
    expect(way({ ...base, kind: 'refused', access: 'write', code: 0xff })).toBe('central -x board at 2000');
    expect(way({ ...base, kind: 'missing', mark: 'lost', version: 1 })).toBe('board -x link at 5000');
    expect(way({ kind: 'link', value: -1, at: us(1), event: 'connected', raw: undefined })).toBe(
      'central <-> board at 1',
    );
  });

  it('say the number of a refusal', () => {
    expect(stepOf({ ...base, kind: 'refused', access: 'write', code: 0x0d }).words).toBe('write refused 0x0d');
  });
});
