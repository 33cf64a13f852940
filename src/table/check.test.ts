import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { encodeUtf8 } from '../values/utf8.ts';
import { places } from '../../test/support/findings.ts';
import { characteristics, plain } from '../contract/rules/sample.ts';
import { check } from './check.ts';

const examples = new URL('../../examples/', import.meta.url);

/** Slow notifications on a battery, and one value that is written: without that one, sleep would be advised. */
const hive = `contract: 1
board: { name: "Hive {unit}", unit: "7" }
uuid-base: 1f2e0000-5a3b-4c4d-8e6f-a1b2c3d4e5f6
radio: { connection: { interval: 100 ms, latency: 4, timeout: 6 s } }
use: [battery]
services:
  - id: hive
    includes: [scale]
    characteristics:
      - id: mass
        type: sint24
        unit: kilogram
        range: [-10, 150]
        access: [read, notify]
        notify: { on: every 10 s }
      - id: tare
        type: boolean
        access: [write]
        needs: encrypted
  - id: scale
    secondary: true
    characteristics:
      - id: turns
        type: uint8
        access: [read]
`;

describe('check', () => {
  it('gives contract and table, and finds nothing, in a plain contract', () => {
    const { value, findings } = check(plain);
    expect(findings).toEqual([]);
    expect(value?.table.values.map(({ id }) => id)).toEqual(['count']);
    expect(value?.contract.services.map(({ id }) => id)).toEqual(['bench']);
  });

  it('tells findings of all stages in the order of the text', () => {
    const text = characteristics(
      'id: a\ntype: uint8\nunit: volt\nrange: [0, 300]\naccess: [read, notify]', // lints
      'id: b\ntype: utf8\nlength: [0, 60]\naccess: [read, notify]\nnotify: { on: every 1 s }', // lengths on the air
    );
    expect(places(check(text).findings, text)).toEqual([
      '10:15 type-too-narrow',
      '13:17 notify-without-rate',
      '16:17 long-read',
      '16:17 notification-cut',
    ]);
  });

  it('gives no value beside an error of a lint', () => {
    expect(check(characteristics('id: a\ntype: uint8\nunit: volt\nrange: [0, 300]\naccess: [read, write]')).value).toBe(
      undefined,
    );
  });

  it('finds nothing by what an error left out', () => {
    expect(check(hive).findings).toEqual([]);
    for (const [right, wrong] of [
      ['type: boolean', 'type: bool'],
      ['unit: "7"', 'unit: 7'],
      ['id: tare', 'id: mass'],
      ['uuid-base: 1f2e0000', 'uuid-base: zzzz0000'],
      ['unit: kilogram', 'unit: stone'],
      ['id: hive\n', 'id: Hive\n'],
    ] as const) {
      const codes = check(hive.replace(right, wrong)).findings.map(({ severity }) => severity);
      expect(codes, wrong).toEqual(['error']);
    }
  });

  it('lints what could be read beside errors, and makes no table of it', () => {
    const text = characteristics('id: a\ntype: uint8\naccess: [read, notify]', 'id: b\ntype: uint7\naccess: [read]');
    const { value, findings } = check(text);
    expect(value).toBe(undefined);
    expect(places(findings, text)).toEqual(['11:17 notify-without-rate', '13:15 unknown-word']);
  });

  it('takes octets as it takes text', () => {
    const text = characteristics('id: a\nlabel: Größe\ntype: uint8\naccess: [read, notify]');
    expect(check(encodeUtf8(text))).toEqual(check(text));
    expect(check(encodeUtf8(`\ufeff${text}`)).findings).toEqual(check(text).findings);
  });

  it.each(readdirSync(examples))('finds no error and no warning in the example %s', (name) => {
    const { value, findings } = check(readFileSync(new URL(`${name}/contract.yaml`, examples)));
    expect(findings.filter(({ severity }) => severity !== 'note').map(({ message }) => message)).toEqual([]);
    expect(value).not.toBe(undefined);
  });

  it('finds nothing in the demo that is not waived with a reason', () => {
    expect(check(readFileSync(new URL('wave-tank/contract.yaml', examples))).findings).toEqual([]);
  });
});
