import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { runOn, runProcedure } from '../../../test/support/att-procedure.ts';
import { handTable } from '../../../test/support/att-table.ts';
import type { AttRequest, AttResponse } from '../pdu.ts';
import { readWhole } from './read-long.ts';

const bench = (length: number, fixed: boolean): ServerBench =>
  new ServerBench(
    handTable([
      {
        uuid: '180F',
        characteristics: [
          {
            id: 'any',
            uuid: '2A3D',
            type: { kind: 'bytes', minLength: fixed ? length : 0, maxLength: fixed ? length : 512 },
            start: Uint8Array.from({ length }, (_, i) => i),
          },
        ],
      },
    ]),
  );

describe('reading a whole value', () => {
  it.each([
    [0, 1],
    [21, 1],
    // A full response: only the next one shows that nothing is left.
    [22, 2],
    [23, 2],
    [44, 3],
    [512, 24],
  ])('of %i octets takes %i requests at an MTU of 23', (length, requests) => {
    for (const fixed of [false, true]) {
      const outcome = runOn(bench(length, fixed), readWhole(3, 23));
      expect(outcome.ok && outcome.value).toEqual(Uint8Array.from({ length }, (_, i) => i));
      expect(outcome.requests).toBe(requests);
    }
  });

  it('reports why it cannot be read', () => {
    expect(runOn(bench(5, true), readWhole(9, 23))).toMatchObject({
      ok: false,
      failure: { kind: 'att-error', code: 0x01, handle: 9 },
    });
  });

  it.each([0x07, 0x0b])('ends where a server says 0x%i at the end', (code) => {
    const answer = (request: AttRequest): AttResponse =>
      request.kind === 'read-request'
        ? { kind: 'read-response', value: new Uint8Array(22) }
        : { kind: 'error-response', request: 0x0c, handle: 3, code };
    const outcome = runProcedure(readWhole(3, 23), answer);
    expect(outcome.ok && outcome.value.length).toBe(22);
  });

  it('fails with other errors on the way', () => {
    const answer = (request: AttRequest): AttResponse =>
      request.kind === 'read-request'
        ? { kind: 'read-response', value: new Uint8Array(22) }
        : { kind: 'error-response', request: 0x0c, handle: 3, code: 0x05 };
    expect(runProcedure(readWhole(3, 23), answer)).toMatchObject({ ok: false, failure: { code: 0x05 } });
  });

  it('stops at a server that never ends', () => {
    const answer = (request: AttRequest): AttResponse =>
      request.kind === 'read-request'
        ? { kind: 'read-response', value: new Uint8Array(22) }
        : { kind: 'read-blob-response', part: new Uint8Array(22) };
    const outcome = runProcedure(readWhole(3, 23), answer);
    expect(outcome).toMatchObject({ ok: false, requests: 24 });
    expect(outcome).toMatchObject({
      failure: { kind: 'protocol', about: 'a value of 528 octets or more was read, at most 512 are allowed' },
    });
  });
});
