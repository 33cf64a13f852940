import { describe, expect, it } from 'vitest';
import { boardTable, valueOf } from '../../test/support/board-table.ts';
import { concat, fromHex, u16le } from '../base/bytes.ts';
import { indexByHandle, observe } from './access.ts';

const table = boardTable();
const byHandle = indexByHandle(table);
const { handle, index } = valueOf(table, 'speed');
const other = valueOf(table, 'dye');

function seen(...parts: readonly (Uint8Array | readonly number[])[]): unknown {
  return observe(concat(...parts), byHandle);
}

// PDU layouts: Core Vol 3 Part F 3.4.
describe('what the board sends', () => {
  it('carries values', () => {
    expect(seen([0x1b], u16le(handle), [1, 2])).toEqual([{ kind: 'carried', index, how: 'notified' }]);
    expect(seen([0x1d], u16le(handle), [])).toEqual([{ kind: 'carried', index, how: 'indicated' }]);
    expect(seen([0x23], u16le(handle), [2, 0, 9, 9], u16le(other.handle), [1, 0, 7])).toEqual([
      { kind: 'carried', index, how: 'notified' },
      { kind: 'carried', index: other.index, how: 'notified' },
    ]);
  });

  it('refuses accesses to values', () => {
    expect(seen([0x01, 0x12], u16le(handle), [0xff])).toEqual([
      { kind: 'refused', index, access: 'write', code: 0xff },
    ]);
    expect(seen([0x01, 0x0a], u16le(handle), [0x05])).toEqual([{ kind: 'refused', index, access: 'read', code: 5 }]);
  });

  it('is not about a value otherwise', () => {
    // A search that ends, a handle that is no value, a response, half a PDU, nothing.
    expect(seen([0x01, 0x08], u16le(handle), [0x0a])).toEqual([]);
    expect(seen([0x01, 0x0a], u16le(1), [0x02])).toEqual([]);
    expect(seen([0x0b, 1, 2])).toEqual([]);
    expect(seen([0x1b, 1])).toEqual([]);
    expect(observe(fromHex('')!, byHandle)).toEqual([]);
  });
});
