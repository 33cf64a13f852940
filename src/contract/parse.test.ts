import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mutatedText } from '../../test/support/mutated-text.ts';
import { expectFindings } from '../../test/support/findings.ts';
import { toHex } from '../base/bytes.ts';
import { contractFindings } from './catalogue.ts';
import { everyCharacteristic, isGiven, placeOf } from './model.ts';
import { parseContract } from './parse.ts';

const waveTank = readFileSync(new URL('../../examples/wave-tank/contract.yaml', import.meta.url), 'utf8');

describe('parseContract on the wave tank', () => {
  const { value: contract, findings } = parseContract(waveTank);
  const all = everyCharacteristic(contract!);
  const one = (id: string) => all.find(({ characteristic }) => characteristic.id === id)!.characteristic;

  it('finds nothing', () => {
    expect(findings).toEqual([]);
  });

  it('fills {unit} and keeps the template', () => {
    expect(contract?.board).toMatchObject({ name: 'Tank 01', nameTemplate: 'Tank {unit}', appearance: 0x0540 });
  });

  it('has used services first, then the board’s texts, then its own', () => {
    expect(contract?.services.map(({ id, origin }) => [id, origin])).toEqual([
      ['battery', 'use'],
      ['device-information', 'board-information'],
      ['tank', 'own'],
      ['room', 'own'],
      ['setup', 'own'],
    ]);
  });

  it('gives slots in the order of the text, a service before its characteristics, adopted ones none', () => {
    const slots = contract!.services
      .filter(({ origin }) => origin === 'own')
      .flatMap((service) => [service, ...service.characteristics])
      .map(({ id, uuid }) => [id, uuid.length === 4 ? uuid : uuid.slice(4, 8)]);
    expect(slots).toEqual([
      ['tank', '0001'],
      ['crests', '0002'],
      ['paddle', '0003'],
      ['level', '0004'],
      ['water', '2A6E'],
      ['room', '0005'],
      ['light', '0006'],
      ['dye', '0007'],
      ['caption', '0008'],
      ['note', '0009'],
      ['setup', '000a'],
      ['calibration', '000b'],
    ]);
  });

  it.each([
    ['crests', '00000000'],
    // 0.5 Hz at 0.01 Hz a step is 50.
    ['paddle', '3200'],
    ['note', toHex(new TextEncoder().encode('ready'))],
    // Gain 1 at 10^-4 is 10000 = 0x2710; offset 0; 2 points.
    ['calibration', '10270000' + '02'],
    ['light', '00'],
    ['dye', '00'],
    ['caption', ''],
  ])('starts %s at %s', (id, hex) => {
    expect(toHex(one(id).start)).toBe(hex);
  });

  it('keeps what was given apart from what was left to its default', () => {
    const { where } = one('paddle');
    expect(isGiven(where, 'range')).toBe(true);
    expect(isGiven(where, 'needs')).toBe(false);
    const { start, end } = placeOf(where, 'range');
    expect(waveTank.slice(start, end)).toBe('[0, 4]');
    expect(waveTank.slice(where.self.start).startsWith('id: paddle')).toBe(true);
  });

  it('takes the failsafe, the drive and the notification policies', () => {
    expect(one('paddle').onLinkLoss).toEqual({ kind: 'set', raw: Uint8Array.of(0, 0), within: 2_000_000 });
    expect(one('light').onLinkLoss).toEqual({ kind: 'keep' });
    expect(one('paddle')).toMatchObject({ drive: { kind: 'phase-accumulator', width: 32 }, actuator: true });
    expect(one('level').notify).toEqual({ on: { kind: 'every', period: 50_000 }, minSpacing: 50_000 });
    expect(one('calibration').needs).toEqual({ read: 'encrypted', write: 'encrypted', subscribe: 'encrypted' });
  });

  it('remembers where the fields of a struct stand', () => {
    const { fieldPlaces } = one('calibration');
    expect([...fieldPlaces!.keys()]).toEqual(['gain', 'offset', 'points']);
    const at = fieldPlaces!.get('offset')!.self;
    expect(waveTank.slice(at.start, at.end)).toContain('id: offset');
  });
});

describe('the specification', () => {
  const specification = readFileSync(new URL('../../docs/SPEC.md', import.meta.url), 'utf8');

  it('has examples that read without findings', () => {
    const examples = [...specification.matchAll(/```yaml\n([^`]*)```/g)].map(([, lines]) => lines);
    expect(examples).not.toEqual([]);
    for (const lines of examples) expectFindings(`contract: 1\nboard: { name: Tank }\n${lines ?? ''}`, []);
  });
});

describe('parseContract', () => {
  it('tells everything wrong at once, in the order of the text', () => {
    expectFindings(
      `contract: 1
board:
  name: Tank
  apearance: 12
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
radio: { connection: { interval: 30, mtu: 9000 } }
services:
  - id: tank
    includes: [tanc]
    characteristics:
      - id: level
        type: uint17
        access: [read, notifies]
      - id: paddle
        type: uint8
        start: 300
        drive: { kind: dac, bits: 12 }
      - id: level
        type: { enum: uint8, names: { 0: none, 256: red } }
        access: [read]
        on-link-loss: { value: blue }
`,
      [
        '4:3 unknown-key',
        '6:34 quantity-form',
        '6:43 out-of-bounds',
        '9:16 unknown-service',
        '12:15 unknown-word',
        '13:24 unknown-word',
        '14:13 access-missing',
        '16:16 value-refused',
        '17:18 missing-key',
        '18:13 duplicate-id',
        '19:48 code-too-wide',
      ],
    );
  });

  it('makes what has no error, so that lints can be told beside errors', () => {
    const { value, findings } = parseContract(
      waveTank.replace('type: uint32', 'type: uint33').replace('id: room', 'id: Room'),
    );
    expect(findings.map(({ code }) => code)).toEqual(['unknown-word', 'id-form']);
    expect(value?.services.map(({ id }) => id)).toEqual(['battery', 'device-information', 'tank', 'setup']);
    const tank = value?.services.find(({ id }) => id === 'tank');
    expect(tank?.characteristics.map(({ id, uuid }) => [id, uuid.slice(4, 8)])).toEqual([
      ['paddle', '0003'],
      ['level', '0004'],
      ['water', ''],
    ]);
  });

  it('takes an id that stands in something broken for an id: no second finding', () => {
    expectFindings(
      `contract: 1
board: { name: Tank }
radio: { advertise: { services: [tank] } }
uuid-base: { dns: example.org }
services:
  - id: tank
    colour: red
    characteristics: []
  - id: room
    includes: [tank]
    characteristics: []
`,
      ['7:5 unknown-key'],
    );
  });

  it('gives the same result for a text and for its octets, with or without a byte order mark', () => {
    const octets = new TextEncoder().encode(waveTank);
    const marked = Uint8Array.of(0xef, 0xbb, 0xbf, ...octets);
    expect(parseContract(octets)).toEqual(parseContract(waveTank));
    expect(parseContract(marked)).toEqual(parseContract(waveTank));
  });

  it('reads CR LF as LF', () => {
    const { value, findings } = parseContract(waveTank.replaceAll('\n', '\r\n'));
    expect(findings).toEqual([]);
    expect(value?.services.map(({ characteristics }) => characteristics.map(({ id }) => id))).toEqual(
      parseContract(waveTank).value?.services.map(({ characteristics }) => characteristics.map(({ id }) => id)),
    );
  });
});

describe('parseContract on mutated contracts', () => {
  const codes = new Set(contractFindings.map(({ code }) => code));

  it('always ends in known findings within the text, never in an exception', () => {
    fc.assert(
      fc.property(mutatedText(waveTank), (text) => {
        const { findings, value } = parseContract(text);
        if (value === undefined) expect(findings).not.toEqual([]);
        const strange = findings.filter(
          ({ code, at, message, hint }) =>
            !codes.has(code) ||
            !(at.start >= 0 && at.start <= at.end && at.end <= text.length) ||
            message.length > 600 ||
            hint === '',
        );
        expect(strange).toEqual([]);
      }),
      { numRuns: 300 },
    );
  }, 60_000);

  it('takes any octets', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (octets) => {
        expect(parseContract(octets).findings).not.toEqual([]);
      }),
      { numRuns: 200 },
    );
  });
});
