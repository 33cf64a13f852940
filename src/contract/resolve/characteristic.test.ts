import { describe, expect, it } from 'vitest';
import { benchWith, contractWith } from '../../../test/support/contract-text.ts';
import { expectFindings } from '../../../test/support/findings.ts';
import { everyCharacteristic, type Characteristic } from '../model.ts';
import { parseContract } from '../parse.ts';

function read(keys: string): Characteristic {
  const { value, findings } = parseContract(benchWith(`id: water-level, type: uint8, ${keys}`));
  expect(findings).toEqual([]);
  return everyCharacteristic(value!)[0]!.characteristic;
}

const codesOf = (keys: string): readonly string[] =>
  parseContract(benchWith(`id: it, ${keys}`)).findings.map(({ code }) => code);

describe('a characteristic', () => {
  it('has all its defaults', () => {
    expect(read('access: [read]')).toMatchObject({
      label: 'Water level',
      adopted: undefined,
      access: ['read'],
      needs: { read: 'open', write: 'open', subscribe: 'open' },
      notify: undefined,
      start: Uint8Array.of(0),
      onLinkLoss: { kind: 'unsaid' },
      drive: undefined,
      actuator: false,
      refuseWith: 0xff,
      reliableWrite: false,
      writableLabel: false,
      waivers: [],
    });
  });

  it('is notified on change without a bound unless it says', () => {
    expect(read('access: [notify]').notify).toEqual({ on: { kind: 'change' }, minSpacing: undefined });
    expect(read('access: [indicate], notify: { on: every 2 s }').notify).toEqual({
      on: { kind: 'every', period: 2_000_000 },
      minSpacing: undefined,
    });
    expect(read('access: [notify], notify: { at-most: 4 Hz }').notify).toEqual({
      on: { kind: 'change' },
      minSpacing: 250_000,
    });
  });

  it.each([
    ['sometimes', 'unknown-word'],
    ['every', 'unknown-word'],
    ['every day', 'quantity-form'],
    ['every 20', 'quantity-form'],
    ['every 0.5 us', 'time-too-fine'],
    ['5', 'wrong-kind'],
  ])('is not notified on %s', (on, code) => {
    expect(codesOf(`type: uint8, access: [notify], notify: { on: ${on} }`)).toEqual([code]);
  });

  it('needs one security level, or one for each way', () => {
    expect(read('access: [read], needs: authenticated').needs).toEqual({
      read: 'authenticated',
      write: 'authenticated',
      subscribe: 'authenticated',
    });
    expect(read('access: [read], needs: { read: encrypted }').needs).toEqual({
      read: 'encrypted',
      write: 'open',
      subscribe: 'encrypted',
    });
    expect(read('access: [read], needs: { read: encrypted, subscribe: open }').needs.subscribe).toBe('open');
    expect(codesOf('type: uint8, access: [read], needs: encripted')).toEqual(['unknown-word']);
  });

  it('takes extended properties and a refusal of its own', () => {
    expect(read('access: [write], extended: [reliable-write, writable-description], refuse-with: 0x80')).toMatchObject({
      reliableWrite: true,
      writableLabel: true,
      refuseWith: 0x80,
    });
    expect(codesOf('type: uint8, access: [read], refuse-with: 0x7F')).toEqual(['out-of-bounds']);
    expect(codesOf('type: uint8, access: [read], refuse-with: 0xA0')).toEqual(['out-of-bounds']);
  });

  it('refuses like the contract where it says nothing', () => {
    const { value } = parseContract(`${benchWith('id: it, type: uint8, access: [read]')}refuse-with: 0x85\n`);
    expect(everyCharacteristic(value!)[0]?.characteristic.refuseWith).toBe(0x85);
  });

  it('has at least one access word, each once', () => {
    expect(codesOf('type: uint8')).toEqual(['access-missing']);
    expect(codesOf('type: uint8, access: []')).toEqual(['list-length']);
    expect(codesOf('type: uint8, access: [read, read]')).toEqual(['repeated-entry']);
    expect(codesOf('type: uint8, access: read')).toEqual(['wrong-kind']);
    expect(codesOf('type: uint8, access: [broadcast]')).toEqual(['unknown-word']);
  });

  it('without id, type and access tells all three', () => {
    expectFindings(contractWith('services:\n  - id: a\n    characteristics:\n      - { label: Level }\n'), [
      '7:11 access-missing',
      '7:11 missing-key',
      '7:11 type-missing',
    ]);
  });

  it('keeps its waivers with their places', () => {
    const { waivers } = read(
      'access: [notify], waive: [{ finding: notify-without-rate, because: "a person presses it" }]',
    );
    expect(waivers).toMatchObject([{ finding: 'notify-without-rate', because: 'a person presses it' }]);
  });
});
