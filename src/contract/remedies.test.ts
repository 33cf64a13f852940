import { describe, expect, it } from 'vitest';
import { hasErrors } from '../base/finding.ts';
import { parseContract } from './parse.ts';

const contract = (characteristic: string): string => `contract: 1
board: { name: Loco }
uuid-base: 1f2e0000-5a3b-4c4d-8e6f-a1b2c3d4e5f6
services:
  - id: loco
    characteristics:
      - { id: value, ${characteristic} }
`;

/** What a person types who knows other languages or has not read ours, and what ours is told to be. */
const slips: readonly (readonly [typed: string, remedy: string])[] = [
  ['type: int24, access: [read]', 'write `sint24`'],
  ['type: uint8_t, access: [read]', 'write `uint8`'],
  ['type: bool, access: [read]', 'write `boolean`'],
  ['type: string, length: 4, access: [read]', 'write `utf8`'],
  ['type: double, access: [read]', 'write `float64`'],
  ['type: f32, access: [read]', 'write `float32`'],
  ['type: struct, access: [read]', 'write `{ struct: [{ id: first, type: uint8 }] }`'],
  ['type: uint8, access: read', 'write `[read]`'],
  ['type: uint8, range: ["0", 9], access: [read]', 'write `0`'],
  ['type: { enum: uint8, names: { stop: 0, 1: go } }, access: [read]', 'write `0: stop`'],
  ['type: uint8, access: [write], on-link-loss: 0', 'write `{ value: 0 }`'],
  ['type: uint8, access: [write], on-link-loss: kep', 'write `keep`'],
  ['type: { enum: uint8, names: { 0: stop, 1: go } }, start: 1, access: [read]', 'write `go`'],
  ['type: { flags: uint8, names: { 0: wet, 3: hot } }, start: [3], access: [read]', 'write `hot`'],
  ['type: boolean, start: on, access: [read]', 'write `true`'],
  ['type: uint8, actuator: no, access: [read]', 'write `false`'],
  ['type: uint16, scale: 0.001, access: [read]', 'write `{ decimal: -3 }`'],
  ['type: uint16, scale: 0.5, access: [read]', 'write `{ multiplier: 5, decimal: -1 }`'],
];

describe('what a finding tells to do', () => {
  it.each(slips)('for %s is: %s', (typed, remedy) => {
    const text = contract(typed);
    const { findings } = parseContract(text);
    expect(findings.map(({ hint }) => hint)).toEqual([remedy]);
    // Done as told, nothing is left to find.
    const edits = [...(findings[0]?.fixes[0]?.edits ?? [])].sort((a, b) => b.at.start - a.at.start);
    expect(edits.length).toBeGreaterThan(0);
    const mended = edits.reduce((old, { at, text: put }) => old.slice(0, at.start) + put + old.slice(at.end), text);
    expect(hasErrors(parseContract(mended).findings)).toBe(false);
  });

  it('never is to let an actuator run on, where a safe value was written', () => {
    const [finding] = parseContract(
      contract('type: { enum: uint8, names: { 0: stop, 1: go } }, access: [write], on-link-loss: stop'),
    ).findings;
    expect(finding?.hint).toBe('write `{ value: stop }`');
  });

  it.each([
    [
      'type: uint8, range: [0, 0040], access: [read]',
      'write `40` for the decimal number, or `0x` and the digits for a hex one',
    ],
    [
      'type: uint8, refuse-with: 0x13, access: [write]',
      'write `0xFF`, the common Out of Range, or a code of your own from 0x80 to 0x9F',
    ],
    ['type: uint8, access: { read: true }', 'begin each entry of the list with `- `'],
  ])('for %s, which has several ways out, is: %s', (typed, remedy) => {
    expect(parseContract(contract(typed)).findings.map(({ hint }) => hint)).toEqual([remedy]);
  });

  it('is one hyphen where one is missing', () => {
    const { findings } = parseContract(`contract: 1
board: { name: Loco }
services:
  - id: loco
    uuid: 1f2e0000-5a3b-4c4d-8e6f-a1b2c3d4e5f6
    characteristics: []
    id: light
    uuid: 1f2e0001-5a3b-4c4d-8e6f-a1b2c3d4e5f6
    characteristics: []
`);
    expect(findings.map(({ hint }) => hint)).toEqual([
      'write `- ` before this `id` if a new entry of the list begins here, else delete one of the two',
    ]);
  });

  it('does not list what is too long to list', () => {
    const [finding] = parseContract(contract('type: quux, access: [read]')).findings;
    expect(finding?.hint).toBe('choose one that the contract reference lists');
  });
});
