import { describe, it } from 'vitest';
import { benchWith, contractWith } from '../../../test/support/contract-text.ts';
import { expectFindings } from '../../../test/support/findings.ts';

describe('ids', () => {
  it('are told when they stand twice, with the first', () => {
    expectFindings(
      contractWith(
        'services:\n  - { id: a, characteristics: [{ id: b, type: uint8, access: [read] }] }\n  - { id: a, characteristics: [{ id: b, type: uint8, access: [read] }] }\n',
      ),
      ['6:11 duplicate-id', '6:38 duplicate-id'],
    );
  });

  it('of services and of characteristics are apart', () => {
    expectFindings(benchWith('id: bench, type: uint8, access: [read]'), []);
  });

  it('of the contract and of used services are not', () => {
    const own = 'use: [battery]\nservices:\n  - id: battery\n    characteristics: []\n';
    expectFindings(contractWith(own), ['6:9 duplicate-id']);
    const inner = 'characteristics:\n      - id: battery-level\n        type: uint8\n        access: [read]\n';
    expectFindings(contractWith(`use: [battery]\nservices:\n  - id: a\n    ${inner}`), ['8:13 duplicate-id']);
  });
});

describe('references', () => {
  it('name services, used ones too', () => {
    expectFindings(
      contractWith(
        'use: [battery]\nradio: { advertise: { services: [a, battery, device-information] } }\nservices: [{ id: a, includes: [battery, b], characteristics: [] }]\n',
      ),
      ['5:46 unknown-service', '6:41 unknown-service'],
    );
  });

  it('that are no ids are told once', () => {
    expectFindings(contractWith('services: [{ id: a, includes: [A B], characteristics: [] }]\n'), ['4:32 id-form']);
  });
});
