import { describe, expect, it } from 'vitest';
import { contractSchema } from '../../../contract/schema.ts';
import { aboutParts, offersAt, type Offer } from './offers.ts';
import { SchemaWalk } from './schema-walk.ts';
import { placeAt } from './text-place.ts';

const walk = new SchemaWalk(contractSchema());
const known = {
  services: ['tank', 'room'],
  codes: [{ code: 'notify-without-rate', title: 'No bound on notifications' }],
};

/** What is offered at `|`. */
function offers(marked: string): readonly Offer[] {
  const place = placeAt(marked.replace('|', ''), marked.indexOf('|'));
  return place === undefined ? [] : offersAt(walk, place, known);
}
const labels = (marked: string): string[] => offers(marked).map(({ label }) => label);

const inCharacteristic = (line: string): string =>
  `contract: 1\nservices:\n  - id: s\n    characteristics:\n      - id: c\n        ${line}\n`;

describe('what is offered in a contract', () => {
  it('is the keys of the whole at the start, those that are required first', () => {
    expect(labels('|').slice(0, 2)).toEqual(['contract', 'board']);
    expect(labels('contract: 1\n|')).not.toContain('contract');
  });

  it('is the keys of a characteristic that are not there yet, with their meaning', () => {
    const found = offers(inCharacteristic('|'));
    expect(found.map(({ label }) => label)).toEqual(
      expect.arrayContaining(['type', 'access', 'drive', 'on-link-loss']),
    );
    expect(found.map(({ label }) => label)).not.toContain('id');
    expect(found.find(({ label }) => label === 'step')).toMatchObject({
      put: 'step: ',
      about: 'The resolution that is needed, in the unit.',
      detail: 'no demand',
    });
  });

  it('is the words that a key takes', () => {
    expect(labels(inCharacteristic('access: [read, |]'))).toEqual([
      'write',
      'write-without-response',
      'notify',
      'indicate',
    ]);
    expect(labels(inCharacteristic('type: |'))).toEqual(
      expect.arrayContaining(['boolean', 'uint12', '{ enum: …, names: … }']),
    );
    expect(labels('radio: { connection: { phy: | } }')).toEqual(['1M', '2M', 'coded-s2', 'coded-s8']);
    expect(labels(inCharacteristic('start: 1\n        actuator: |'))).toEqual(['true', 'false']);
  });

  it('is units by name, with their symbols', () => {
    expect(offers(inCharacteristic('unit: |')).find(({ label }) => label === 'hertz')).toMatchObject({ detail: 'Hz' });
  });

  it('keeps to the kind of a drive', () => {
    expect(labels(inCharacteristic('drive: { kind: | }'))).toEqual(
      expect.arrayContaining(['timer', 'dac', 'phase-accumulator']),
    );
    const keys = labels(inCharacteristic('drive: { kind: dac, | }'));
    expect(keys).toEqual(expect.arrayContaining(['bits', 'reference', 'gain']));
    expect(keys).not.toContain('prescalers');
  });

  it('is adopted services, and keys where an item may be a mapping', () => {
    expect(labels('use: [|]')).toContain('battery');
    expect(labels('services:\n  - |')).toEqual(expect.arrayContaining(['id', 'characteristics']));
  });

  it('is services and codes that the contract knows', () => {
    expect(labels('radio: { advertise: { services: [tank, |] } }')).toEqual(['room']);
    expect(labels(inCharacteristic('waive: [{ finding: | }]'))).toEqual(['notify-without-rate']);
  });

  it('is an example where anything may stand', () => {
    expect(labels('radio: { connection: { timeout: | } }')).toEqual(['6 s']);
  });
});

describe('a key’s description', () => {
  it('is parted into its sentences', () => {
    expect(aboutParts('A thing. In two sentences. Default: 4 s. Example: 6 s')).toEqual({
      sentence: 'A thing. In two sentences.',
      otherwise: '4 s',
      example: '6 s',
    });
    expect(aboutParts('A thing. Required. Example: { a: 1 }')).toEqual({
      sentence: 'A thing.',
      otherwise: '',
      example: '{ a: 1 }',
    });
    expect(aboutParts('A thing.')).toEqual({ sentence: 'A thing.', otherwise: '', example: undefined });
  });
});
