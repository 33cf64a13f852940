import { describe, expect, it } from 'vitest';
import { codes } from '../../../test/support/lints.ts';
import { characteristics, radio, services } from './sample.ts';

const one = (lines: string): readonly string[] => codes(characteristics(`id: x\nlabel: Some value\n${lines.trim()}`));

describe('access', () => {
  it.each([
    ['a stream of octets without response', 'type: bytes\nlength: 20\naccess: [write-without-response]', []],
    ['a setting without response', 'type: uint8\naccess: [read, write-without-response]', ['write-may-be-lost']],
    [
      'a struct without response',
      'type: { struct: [{ id: a, type: uint8 }] }\naccess: [write-without-response]',
      ['write-may-be-lost'],
    ],
    ['both writes of a setting', 'type: uint8\naccess: [read, write, write-without-response]', []],
    [
      'an event on change',
      'type: uint8\naccess: [notify]\nnotify: { on: change, at-most: 1 Hz }',
      ['notify-unreadable'],
    ],
    ['a stream that cannot be read', 'type: uint8\naccess: [notify]\nnotify: { on: every 50 ms }', []],
    ['no rate', 'type: uint8\naccess: [read, notify]', ['notify-without-rate']],
    ['no rate, but a period', 'type: uint8\naccess: [read, notify]\nnotify: { on: every 1 s }', []],
    [
      'a policy without a bound',
      'type: uint8\naccess: [read, notify]\nnotify: { on: change }',
      ['notify-without-rate'],
    ],
    ['a count that is only read', 'type: uint8\naccess: [read]', []],
    [
      'a measured count',
      'type: uint16\naccess: [read]\ndrive: { kind: adc, bits: 16, reference: 65536 }',
      ['poll-only'],
    ],
    ['a setting with a unit', 'type: uint8\nunit: second\naccess: [read, write]', []],
    ['slow indications', 'type: uint8\naccess: [read, indicate]\nnotify: { on: change, at-most: 10 Hz }', []],
    [
      'fast ones beside notifications',
      'type: uint8\naccess: [read, notify, indicate]\nnotify: { on: change, at-most: 25 Hz }',
      [],
    ],
    ['a period at its bound', 'type: uint8\naccess: [read, notify]\nnotify: { on: every 100 ms, at-most: 10 Hz }', []],
  ])('%s', (_, lines, expected) => {
    expect(one(lines)).toEqual(expected);
  });

  it('counts the period against the shortest interval the contract allows', () => {
    const strain = 'id: x\nlabel: X\ntype: uint8\naccess: [read, notify]\nnotify: { on: every 25 ms }';
    expect(codes(radio('connection: { interval: [20 ms, 40 ms] }', strain))).toEqual([]);
    expect(codes(radio('connection: { interval: [30 ms, 40 ms] }', strain))).toEqual(['period-below-interval']);
  });
});

describe('needs', () => {
  const needs = (access: string, need: string): readonly string[] =>
    one(`type: uint8\naccess: ${access}\nnotify: { on: change, at-most: 1 Hz }\nneeds: ${need}`);
  it.each([
    ['[read, notify]', 'encrypted', []],
    ['[read, notify]', '{ write: encrypted }', ['needs-without-access']],
    ['[read, notify]', '{ read: encrypted }', []],
    ['[read, notify]', '{ read: encrypted, subscribe: open }', ['subscribe-weaker-than-read']],
    ['[read, notify]', '{ read: open, subscribe: encrypted }', []],
    ['[read, write, notify]', '{ read: encrypted }', ['write-weaker-than-read']],
    ['[read, write, notify]', '{ write: encrypted }', []],
    ['[read, notify]', 'authenticated', ['authenticated-needs-io']],
    ['[read, notify]', 'secure-connections', ['authenticated-needs-io']],
  ])('%s with %s', (access, need, expected) => {
    expect(needs(access, need)).toEqual(expected);
  });

  it('may protect nothing but the label', () => {
    const label = 'type: uint8\naccess: [read]\nextended: [writable-description]';
    expect(one(label)).toEqual(['label-open']);
    expect(one(`${label}\nneeds: { write: encrypted }`)).toEqual([]);
  });

  it('speaks of subscriptions that nobody can make', () => {
    expect(one('type: uint8\naccess: [read]\nneeds: { subscribe: encrypted }')).toEqual(['needs-without-access']);
  });
});

describe('UUIDs', () => {
  const uuid = (text: string): readonly string[] => one(`uuid: ${text}\ntype: utf8\nlength: [0, 20]\naccess: [read]`);
  it.each([
    ['0x2A00', []], // Device Name, a characteristic whose format is a text
    ['0x180F', ['uuid-of-other-kind']], // Battery, a service
    ['0x2901', ['uuid-of-other-kind']], // user description, a descriptor
    ['0x2803', ['uuid-of-other-kind']], // the characteristic declaration
    ['0x2700', ['uuid-of-other-kind']], // unitless, a unit
    ['0x0001', ['uuid-not-assigned']],
    ['0xFD6F', ['uuid-of-member']],
    ['0x2A6E', ['adopted-format-differs']], // Temperature
    ['0x2A78', ['adopted-format-unlike']], // Rainfall, whose format is from memory
    ['0a9f2a1c-8c1e-4f53-a3a4-6f5a1f7d7b10', []],
    ['0a9f2a1c-8c1e-0f53-a3a4-6f5a1f7d7b10', ['uuid-made-by-hand']],
    ['0a9f2a1c-8c1e-4f53-23a4-6f5a1f7d7b10', ['uuid-made-by-hand']],
    ['00000000-1111-4111-8111-111111111111', ['uuid-made-by-hand']],
  ])('%s', (text, expected) => {
    expect(uuid(text)).toEqual(expected);
  });

  it('lets a base made from a name have any digits', () => {
    const text = characteristics('id: x\ntype: uint8\naccess: [read]').replace(
      /uuid-base: .*/,
      'uuid-base: { dns: example.org }',
    );
    expect(codes(text)).toEqual([]);
  });

  it('takes a repeated 128-bit UUID in another service for a second instance', () => {
    const side = (id: string) =>
      `id: ${id}\ncharacteristics: [{ id: ${id}-force, slot: 40, type: uint16, access: [read] }]`;
    expect(codes(services(side('left'), side('right')))).toEqual([]);
  });

  it('lets two instances of an adopted characteristic be told apart by label', () => {
    const probe = (id: string, label: string) => `id: ${id}\n${label}\nadopted: temperature\naccess: [read]`;
    expect(codes(characteristics(probe('a', 'label: Inside'), probe('b', 'label: Outside')))).toEqual([]);
    expect(codes(characteristics(probe('a', ''), probe('b', '')))).toEqual(['instance-without-label']);
  });
});

describe('services', () => {
  const service = (id: string, rest: string) =>
    `id: ${id}\n${rest}\ncharacteristics: [{ id: ${id}-x, type: uint8, access: [read] }]`;
  it.each([
    ['a circle of three', ['b', 'c', 'a'], ['include-cycle']],
    ['a service that includes itself', ['a', '', ''], ['include-cycle']],
    ['a diamond', ['b, c', 'c', ''], []],
    ['two that lead into one circle', ['b', 'c', 'b'], ['include-cycle']],
  ])('%s', (_, includes, expected) => {
    const each = ['a', 'b', 'c'].map((id, i) => service(id, `includes: [${includes[i] ?? ''}]`));
    expect(codes(services(...each))).toEqual(expected);
  });

  it('finds a service empty only when nothing of it was refused', async () => {
    const { lintContract } = await import('./run.ts');
    const { parseContract } = await import('../parse.ts');
    const text = characteristics('id: x\ntype: uint7\naccess: [read]');
    const contract = parseContract(text).value!;
    expect(lintContract(contract, text, false)).toEqual([]);
    expect(lintContract(contract, text, true).map(({ code }) => code)).toEqual(['service-empty']);
  });
});
