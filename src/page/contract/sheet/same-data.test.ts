import { describe, expect, it } from 'vitest';
import { check } from '../../../table/check.ts';
import { sameData } from './same-data.ts';

const text = `contract: 1
board: { name: T }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
services: [{ id: s, characteristics: [{ id: v, type: uint8, access: [read] }, { id: w, type: utf8, length: 3, access: [read] }] }]
`;
const tableOf = (source: string): unknown => check(source).value?.table;

describe('the same data', () => {
  it('is what a text with more words in it means', () => {
    expect(tableOf(text)).not.toBeUndefined();
    expect(sameData(tableOf(text), tableOf(`# more\n${text}`))).toBe(true);
  });

  it.each([
    ['uint8', 'uint16'],
    ['id: v', 'id: x'],
    ['[read] }', '[write] }'],
    ['length: 3', 'length: 4'],
    ['name: T', 'name: U'],
  ])('is not what %j and %j mean', (a, b) => {
    expect(sameData(tableOf(text), tableOf(text.replace(a, b)))).toBe(false);
  });

  it.each([
    [1n, 1n, true],
    [1n, 2n, false],
    [Number.NaN, Number.NaN, true],
    [Uint8Array.of(1), Uint8Array.of(1), true],
    [Uint8Array.of(1), [1], false],
    [[1], [1, 2], false],
    [{ a: undefined }, { b: undefined }, false],
    [{ a: 1 }, { a: 1, b: 2 }, false],
    [null, {}, false],
  ])('%# is told apart', (a, b, same) => {
    expect(sameData(a, b)).toBe(same);
  });
});
