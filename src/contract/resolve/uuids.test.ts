import { describe, expect, it } from 'vitest';
import { contractWith } from '../../../test/support/contract-text.ts';
import { expectFindings } from '../../../test/support/findings.ts';
import { parseContract } from '../parse.ts';

function uuidsOf(text: string): Readonly<Record<string, string>> {
  const services = parseContract(text).value!.services;
  return Object.fromEntries(
    services.flatMap((service) => [service, ...service.characteristics]).map(({ id, uuid }) => [id, uuid]),
  );
}

describe('UUIDs', () => {
  it('count from 1, past the pinned slots and what has a UUID of its own', () => {
    const uuids = uuidsOf(
      contractWith(`services:
  - id: a
    slot: 2
    characteristics:
      - { id: b, type: uint8, access: [read] }
      - { id: c, uuid: 0xFFF1, type: uint8, access: [read] }
      - { id: d, slot: 0x00FF, type: uint8, access: [read] }
      - { id: e, type: uint8, access: [read] }
  - id: f
    uuid: 12345678-9abc-def0-1234-56789abcdef0
    characteristics:
      - { id: g, type: uint8, access: [read] }
`),
    );
    expect(uuids).toEqual({
      a: '5f1c0002-7d3a-4e0b-9c55-3a1f60e2b7d8',
      b: '5f1c0001-7d3a-4e0b-9c55-3a1f60e2b7d8',
      c: 'FFF1',
      d: '5f1c00ff-7d3a-4e0b-9c55-3a1f60e2b7d8',
      e: '5f1c0003-7d3a-4e0b-9c55-3a1f60e2b7d8',
      f: '12345678-9abc-def0-1234-56789abcdef0',
      g: '5f1c0004-7d3a-4e0b-9c55-3a1f60e2b7d8',
    });
  });

  it('have a base made from a name', () => {
    const base = (line: string): unknown =>
      parseContract(`contract: 1\nboard: { name: a }\nuuid-base: ${line}\n`).value?.uuidBase;
    // RFC 9562 appendix A.4 and public test suites of version 5 UUIDs.
    expect(base('{ dns: www.example.com }')).toBe('2ed6657d-e927-568b-95e1-2665a8aea6a2');
    expect(base('{ dns: python.org }')).toBe('886313e1-3b8a-5372-9b90-0c9aee199e5d');
    expect(base('{ url: example.org }')).toBe('54a35416-963c-5dd6-a1e2-5ab7bb5bafc7');
  });

  it('need a base, told once', () => {
    const text =
      'contract: 1\nboard: { name: a }\nservices:\n  - id: a\n    characteristics: [{ id: b, type: uint8, access: [read] }]\n';
    expectFindings(text, ['4:9 uuid-missing']);
    expectFindings(text.replace('services:', 'uuid-base: none\nservices:'), ['3:12 uuid-form']);
    expectFindings(text.replace('- id: a', '- id: a\n    slot: 3'), ['5:11 uuid-missing']);
  });

  it('have a base of 128 bits', () => {
    expectFindings('contract: 1\nboard: { name: a }\nuuid-base: 0x180F\n', ['3:12 uuid-form']);
  });

  it('are said in one way', () => {
    expectFindings(contractWith('services: [{ id: a, uuid: 0xFFF0, slot: 3, characteristics: [] }]\n'), [
      '4:35 said-in-two-ways',
    ]);
  });
});
