import { describe, expect, it } from 'vitest';
import type { Fix } from '../../base/finding.ts';
import { applyFix } from '../../../test/support/fixes.ts';
import { parseContract } from '../parse.ts';
import type { Where } from '../model.ts';
import { removeKey, replaceValue, setKey, setKeys } from './edits.ts';

const head =
  'contract: 1\nboard: { name: Tank }\nuuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0\nservices:\n  - id: tank\n    characteristics:\n';

/** The characteristic's lines after a fix. */
function after(lines: string, make: (text: string, where: Where) => Fix | undefined): string {
  const text = head + lines;
  const where = parseContract(text).value!.services[0]!.characteristics[0]!.where;
  const fix = make(text, where);
  return fix === undefined ? 'no fix' : applyFix(text, fix).slice(head.length);
}

describe('setKey', () => {
  it('adds a line behind the last one of a block, comments and nested blocks included', () => {
    const block = '      - id: x\n        type: uint8\n        access: [read] # for all\n';
    expect(after(block, (text, where) => setKey(text, where, 'unit', 'hertz', ''))).toBe(
      `${block}        unit: hertz\n`,
    );
    const nested =
      '      - id: x\n        access: [read]\n        type:\n          enum: uint8\n          names:\n            0: off\n            1: on\n\n# end\n';
    expect(after(nested, (text, where) => setKey(text, where, 'start', 'on', ''))).toBe(
      nested.replace('1: on\n', '1: on\n        start: on\n'),
    );
  });

  it('adds an item behind the last one between braces', () => {
    expect(
      after('      - { id: x, type: uint8, access: [read] }\n', (text, where) =>
        setKey(text, where, 'unit', 'hertz', ''),
      ),
    ).toBe('      - { id: x, type: uint8, access: [read], unit: hertz }\n');
  });

  it('replaces a value that is given', () => {
    expect(
      after('      - { id: x, type: uint8, access: [read] }\n', (text, where) =>
        setKey(text, where, 'type', 'uint16', ''),
      ),
    ).toBe('      - { id: x, type: uint16, access: [read] }\n');
  });

  it('works at the end of a file without a line end', () => {
    expect(
      after('      - id: x\n        type: uint8\n        access: [read]', (text, where) =>
        setKey(text, where, 'unit', 'hertz', ''),
      ),
    ).toBe('      - id: x\n        type: uint8\n        access: [read]\n        unit: hertz');
  });
});

describe('setKeys', () => {
  it('sets several at once, and none of no keys', () => {
    const lines = '      - { id: x, type: uint8, access: [read] }\n';
    expect(after(lines, (text, where) => setKeys(text, where, { type: 'uint16', unit: 'hertz' }, ''))).toBe(
      '      - { id: x, type: uint16, access: [read], unit: hertz }\n',
    );
    expect(after(lines, (text, where) => setKeys(text, where, {}, ''))).toBe('no fix');
  });
});

describe('removeKey', () => {
  it.each([
    [
      '      - id: x\n        type: uint8\n        start: 3 # three\n        access: [read]\n',
      '      - id: x\n        type: uint8\n        access: [read]\n',
    ],
    ['      - { id: x, start: 3, type: uint8, access: [read] }\n', '      - { id: x, type: uint8, access: [read] }\n'],
    ['      - { id: x, type: uint8, access: [read], start: 3 }\n', '      - { id: x, type: uint8, access: [read] }\n'],
    // The first key of an item carries the hyphen.
    ['      - start: 3\n        id: x\n        type: uint8\n        access: [read]\n', 'no fix'],
    ['      - { id: x, type: uint8, access: [read] }\n', 'no fix'],
  ])('%j', (before, expected) => {
    expect(after(before, (text, where) => removeKey(text, where, 'start', ''))).toBe(expected);
  });
});

describe('replaceValue', () => {
  it('needs the key', () => {
    expect(
      after('      - { id: x, type: uint8, access: [read] }\n', (_, where) => replaceValue(where, 'unit', 'hertz', '')),
    ).toBe('no fix');
  });
});
