import { Ajv } from 'ajv';
import fc from 'fast-check';
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parse as parseYaml } from 'yaml';
import { mutatedText } from '../../test/support/mutated-text.ts';
import { contractFindings } from './catalogue.ts';
import { parseContract } from './parse.ts';
import { contractSchema } from './schema.ts';
import { shapeFindings } from './shapes/findings.ts';

const examples = new URL('../../examples/', import.meta.url);
const read = (name: string): string => readFileSync(new URL(`${name}/contract.yaml`, examples), 'utf8');
const waveTank = read('wave-tank');
const ajv = new Ajv({ strict: true, allowUnionTypes: true, strictTuples: false });
const validate = ajv.compile(contractSchema());

/** What the schema says of the text as another YAML reader reads it. */
function problems(text: string): readonly string[] {
  validate(parseYaml(text, { logLevel: 'silent' }));
  return (validate.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message ?? ''}`);
}

/** Mistakes of form that the schema leaves to the decoder: between two values, of spelling, or by a unit. */
const unsaid = new Set([
  'not-an-exact-number',
  'leading-zero',
  'repeated-entry',
  'time-too-fine',
  'not-in-steps',
  'bounds-reversed',
  'unknown-name',
  'unprintable-character',
  'hex-form',
]);

/** Everything the language has in one contract. */
const whole = `contract: 1
board: { name: "All {unit}", unit: "1", appearance: generic-sensor, maker: m, model: x, serial: "1", hardware: h, firmware: "1.0", software: s }
uuid-base: { url: "https://example.org/all" }
refuse-with: 0x80
radio:
  advertise: { interval: [20 ms, 40 ms], name: none, services: [a], tx-power: 4, manufacturer-data: { company: 65535, data: "0a" } }
  connection: { interval: 7.5 ms, latency: 1, timeout: 100 ms, mtu: 23, phy: 2M, data-length: 27 }
  waive: [{ finding: supervision-too-short, because: "a trial" }]
use: [battery, { environmental-sensing: [humidity, { adopted: temperature, range: [0, 50] }] }]
services:
  - id: a
    slot: 0x10
    includes: [battery]
    handles: { from: 0x40, reserve: 4 }
    characteristics:
      - { id: b, uuid: 0x2A6E, type: sint16, scale: { decimal: -2 }, unit: 0x272F, special: { 0x8000: unknown }, access: [read, indicate], notify: { on: every 1 min, at-most: 1 per min } }
      - { id: c, type: { flags: uint8, names: { 0: x } }, start: [x], access: [write], extended: [reliable-write], needs: { write: encrypted } }
      - { id: d, type: { struct: [{ id: e, type: uint4 }, { id: f, type: { array: float32, count: 2 }, range: [-1, 1.5] }] }, start: { e: 1, f: [0, 1] }, access: [read] }
      - { id: g, type: { array: { enum: uint16, names: { 1: x } }, count: [0, 3] }, access: [read], waive: [{ finding: x, because: y }] }
      - { id: h, type: uint16, unit: hertz, access: [write], actuator: true, drive: { kind: timer, clock: 1 MHz, prescalers: [1, 2] }, on-link-loss: { value: 0 } }
      - { id: i, type: uint8, access: [write], drive: { kind: table, bits: 8, points: [[0, 1], [2, 3]] }, on-link-loss: keep, refuse-with: 0xFF }
      - { id: j, type: bytes, length: [0, 4], start: "0102", access: [read] }
`;

describe('contractSchema', () => {
  it.each(readdirSync(examples))('accepts the example %s', (name) => {
    expect(problems(read(name))).toEqual([]);
  });

  it('accepts a contract with everything', () => {
    expect(parseContract(whole).findings.filter(({ severity }) => severity === 'error')).toEqual([]);
    expect(problems(whole)).toEqual([]);
  });

  it.each(contractFindings)('$code: accepts the good example', ({ good }) => {
    expect(problems(good)).toEqual([]);
  });

  it.each(shapeFindings.filter(({ code }) => !unsaid.has(code)))('$code: refuses the bad example', ({ bad }) => {
    expect(problems(bad)).not.toEqual([]);
  });

  it('accepts every mutated contract that the decoder accepts', () => {
    const texts = fc.oneof(mutatedText(waveTank), mutatedText(whole));
    fc.assert(
      fc.property(texts, (text) => {
        if (parseContract(text).findings.some(({ severity }) => severity === 'error')) return;
        expect(problems(text)).toEqual([]);
      }),
      { numRuns: 200 },
    );
  }, 60_000);

  it('is the same each time, and refers only to what it defines', () => {
    const text = JSON.stringify(contractSchema());
    expect(JSON.stringify(contractSchema())).toBe(text);
    const { definitions } = contractSchema() as { definitions: Record<string, unknown> };
    for (const [, name] of text.matchAll(/#\/definitions\/([a-z-]+)/g)) expect(definitions).toHaveProperty([name!]);
  });
});
