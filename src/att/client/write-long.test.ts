import { describe, expect, it } from 'vitest';
import { ServerBench } from '../../../test/support/att-bench.ts';
import { runOn, runProcedure } from '../../../test/support/att-procedure.ts';
import { handTable, lab, labIndex, labTable } from '../../../test/support/att-table.ts';
import { toHex } from '../../base/bytes.ts';
import type { AttRequest, AttResponse } from '../pdu.ts';
import { writeWhole } from './write-long.ts';

const value = (length: number): Uint8Array => Uint8Array.from({ length }, (_, i) => 0x61 + (i % 26));

describe('writing a whole value', () => {
  it.each([
    [0, 1],
    [20, 1],
    [21, 3],
    [36, 3],
    [37, 4],
    [60, 5],
  ])('of %i octets takes %i requests at an MTU of 23', (length, requests) => {
    const bench = new ServerBench(labTable());
    expect(runOn(bench, writeWhole(lab.note, value(length), 23))).toEqual({ ok: true, value: undefined, requests });
    expect(bench.value(labIndex.note)).toBe(toHex(value(length)));
  });

  it('of 512 octets arrives', () => {
    const bench = new ServerBench(
      handTable([
        {
          uuid: '180F',
          characteristics: [
            { id: 'any', uuid: '2A3D', access: ['write'], type: { kind: 'bytes', minLength: 0, maxLength: 512 } },
          ],
        },
      ]),
    );
    expect(runOn(bench, writeWhole(3, value(512), 23)).ok).toBe(true);
    expect(bench.value(0)).toBe(toHex(value(512)));
  });

  it('cancels what it prepared when a part is refused', () => {
    const bench = new ServerBench(labTable(), { prepareQueueBytes: 30 });
    const outcome = runOn(bench, writeWhole(lab.note, value(60), 23));
    expect(outcome).toMatchObject({ ok: false, failure: { kind: 'att-error', code: 0x09, handle: lab.note } });
    expect(bench.connection().prepared).toEqual([]);
    expect(bench.value(labIndex.note)).toBe('6869');
  });

  it('reports what the server refuses at execution', () => {
    const bench = new ServerBench(labTable());
    expect(runOn(bench, writeWhole(lab.note, value(61), 23))).toMatchObject({ ok: false, failure: { code: 0x0d } });
    expect(bench.value(labIndex.note)).toBe('6869');
  });

  it.each([
    ['another handle', { handle: 9 }],
    ['another offset', { offset: 1 }],
    ['another octet', { part: new Uint8Array(18) }],
    ['fewer octets', { part: value(17) }],
  ])('does not execute after an echo with %s', (_, wrong) => {
    const seen: AttRequest[] = [];
    const answer = (request: AttRequest): AttResponse => {
      seen.push(request);
      return request.kind === 'prepare-write-request'
        ? { ...request, kind: 'prepare-write-response', ...wrong }
        : { kind: 'execute-write-response' };
    };
    expect(runProcedure(writeWhole(3, value(40), 23), answer)).toMatchObject({
      ok: false,
      failure: { kind: 'protocol', about: 'the Prepare Write Response at offset 0 is not the echo of its request' },
    });
    expect(seen.at(-1)).toEqual({ kind: 'execute-write-request', write: false });
    expect(seen.length).toBe(2);
  });
});
