import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryTable } from '../../../test/support/arbitrary-table.ts';
import { arbitraryPdu } from '../../../test/support/arbitrary-pdu.ts';
import { hex, ServerBench } from '../../../test/support/att-bench.ts';
import { runOn, runProcedure } from '../../../test/support/att-procedure.ts';
import { genericServices, handTable, labTable, ownUuid, uuid } from '../../../test/support/att-table.ts';
import { readU16le } from '../../base/bytes.ts';
import { uuidFromBytes } from '../../base/uuid.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { Table } from '../../table/model.ts';
import type { RemoteService } from '../link.ts';
import type { AttRequest, AttResponse } from '../pdu.ts';
import { isResponse } from '../pdu/kind.ts';
import { characteristicsOf, descriptorsWithin, discoverAll } from './discover.ts';

/** What a client should find, from the table's rows alone. */
function expected(table: Table): readonly RemoteService[] {
  return table.services.map((entry) => ({
    uuid: entry.uuid,
    secondary: entry.secondary,
    start: entry.start,
    end: entry.end,
    includes: table.rows
      .filter(({ type, handle }) => type === attributeType.include && handle > entry.start && handle <= entry.end)
      .map(({ content }) => {
        const bytes = content.kind === 'constant' ? content.bytes : new Uint8Array();
        return { start: readU16le(bytes, 0)!, end: readU16le(bytes, 2)!, uuid: uuidFromBytes(bytes.slice(4))! };
      }),
    characteristics: entry.characteristics.map((each) => ({
      kind: 'characteristic',
      uuid: each.uuid,
      handle: each.value,
      service: entry.uuid,
      properties: each.properties,
      declaration: each.declaration,
      descriptors: each.descriptors.map(({ handle, type }) => ({ kind: 'descriptor', uuid: type, handle })),
    })),
  }));
}

describe('discovery', () => {
  it('finds exactly the table', () => {
    const table = labTable();
    expect(runOn(new ServerBench(table), discoverAll())).toMatchObject({ ok: true, value: expected(table) });
  });

  it('finds any table at any MTU', () => {
    fc.assert(
      fc.property(arbitraryTable, fc.integer({ min: 23, max: 517 }), (table, mtu) => {
        const bench = new ServerBench(table);
        bench.ask(Uint8Array.of(0x02, mtu & 0xff, mtu >> 8));
        const outcome = runOn(bench, discoverAll());
        expect(outcome).toMatchObject({ ok: true, value: expected(table) });
      }),
      { numRuns: 150 },
    );
  });

  it('reads the UUID of an included service that has 128 bits at the service itself', () => {
    const table = handTable([
      ...genericServices(),
      { uuid: ownUuid(1), secondary: true },
      { uuid: ownUuid(2), includes: [{ uuid: ownUuid(1), start: 14, end: 14 }] },
    ]);
    const outcome = runOn(new ServerBench(table), discoverAll());
    expect(outcome.ok && outcome.value[3]?.includes).toEqual([{ uuid: ownUuid(1), start: 14, end: 14 }]);
  });

  it('takes a service that ends at the last handle', () => {
    const table = handTable([{ uuid: '180F', at: 0xfffd, characteristics: [{ id: 'battery', uuid: '2A19' }] }]);
    const outcome = runOn(new ServerBench(table), discoverAll());
    expect(outcome).toMatchObject({ ok: true, value: expected(table) });
  });

  it('reports the error of a server', () => {
    const refusing = (request: AttRequest): AttResponse =>
      request.kind === 'read-by-group-type-request'
        ? { kind: 'error-response', request: 0x10, handle: 1, code: 0x05 }
        : { kind: 'write-response' };
    expect(runProcedure(discoverAll(), refusing)).toMatchObject({
      ok: false,
      failure: { kind: 'att-error', code: 0x05, handle: 1 },
    });
  });
});

describe('a server that breaks the protocol', () => {
  const range = { uuid: uuid('180F'), secondary: false, start: 0x10, end: 0x20 };
  const notFound: AttResponse = { kind: 'error-response', request: 0x08, handle: 0, code: 0x0a };
  const service = (handle: number, end: number, value = '0f18'): AttResponse => ({
    kind: 'read-by-group-type-response',
    groups: [{ handle, end, value: hex(value) }],
  });
  const declaration = (handle: number, value: string): AttResponse => ({
    kind: 'read-by-type-response',
    entries: [{ handle, value: hex(value) }],
  });

  it.each([
    [
      'a service that repeats itself',
      service(1, 5),
      'a service from 0x0001 to 0x0005 came where 0x0006 or more was due',
    ],
    [
      'a service that ends before it begins',
      service(5, 4),
      'a service from 0x0005 to 0x0004 came where 0x0001 or more was due',
    ],
    ['a UUID of three octets', service(1, 5, '0f1800'), 'the service at 0x0001 has a UUID of 3 octets'],
    ['another response', { kind: 'write-response' } as const, 'Write Response came where another response was due'],
  ])('%s', (_, answer, about) => {
    expect(runProcedure(discoverAll(), () => answer)).toMatchObject({
      ok: false,
      failure: { kind: 'protocol', about },
    });
  });

  it.each([3, 5])('services that overlap from handle %i on', (start) => {
    const answer = (request: AttRequest): AttResponse => {
      if (request.kind !== 'read-by-group-type-request') return notFound;
      const secondary = request.type === attributeType.secondaryService;
      if (request.start !== 1) return notFound;
      return secondary ? service(start, 9) : service(1, 5);
    };
    expect(runProcedure(discoverAll(), answer)).toMatchObject({
      ok: false,
      failure: { kind: 'protocol', about: `services overlap at handle 0x000${start}` },
    });
  });

  it.each([
    [
      'a declaration outside the range',
      declaration(0x21, '0222000f18'),
      'handle 0x0021 came where one from 0x0011 to 0x0020 was due',
    ],
    [
      'a declaration again',
      declaration(0x12, '0213000f18'),
      'handle 0x0012 came where one from 0x0013 to 0x0020 was due',
    ],
    [
      'a declaration too short',
      declaration(0x20, '0213'),
      'the characteristic at 0x0020 has 2 octets, 5 or 19 are due',
    ],
    [
      'a value before its declaration',
      declaration(0x20, '0213000f18'),
      'the characteristic at 0x0020 has its value at 0x0013, outside 0x0021 to 0x0020',
    ],
  ])('%s', (_, answer, about) => {
    expect(runProcedure(characteristicsOf(range), () => answer)).toMatchObject({
      ok: false,
      failure: { kind: 'protocol', about },
    });
  });

  it('descriptors without end', () => {
    const answer: AttResponse = { kind: 'find-information-response', entries: [{ handle: 5, type: uuid('2902') }] };
    expect(runProcedure(descriptorsWithin(5, 9), () => answer)).toMatchObject({
      ok: false,
      failure: { about: 'handle 0x0005 came where one from 0x0006 to 0x0009 was due' },
    });
  });

  it('never keeps the client forever, nor makes it throw', () => {
    const response = arbitraryPdu.filter(isResponse);
    const fitting = fc.constantFrom<AttResponse>(
      service(1, 1),
      service(2, 9),
      service(0x100, 0xffff),
      declaration(3, '0204000f18'),
      declaration(6, '0207000f18'),
      { kind: 'find-information-response', entries: [{ handle: 8, type: uuid('2902') }] },
      notFound,
    );
    fc.assert(
      fc.property(fc.array(fc.oneof(fitting, response), { minLength: 1, maxLength: 30 }), (answers) => {
        let turn = 0;
        const outcome = runProcedure(discoverAll(), () => answers[turn++ % answers.length]!, 5000);
        if (!outcome.ok && outcome.failure.kind === 'protocol') {
          expect(outcome.failure.about).not.toBe('the procedure does not end');
        }
      }),
      { numRuns: 300 },
    );
  });
});
