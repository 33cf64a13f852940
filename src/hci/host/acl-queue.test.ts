import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { toHex } from '../../base/bytes.ts';
import { Reassembler } from '../l2cap.ts';
import type { AclPacket } from '../packet.ts';
import { AclQueue } from './acl-queue.ts';

function bench(size: number, count: number) {
  const sent: AclPacket[] = [];
  const queue = new AclQueue((packet) => sent.push(packet));
  queue.reset(size, count);
  return { sent, queue, last: () => sent.map(({ handle, boundary, data }) => `${handle}/${boundary} ${toHex(data)}`) };
}

const frame = (...payload: number[]) => ({ channel: 4, payload: Uint8Array.from(payload) });

describe('packets to the controller', () => {
  it('are no more than it has buffers for', () => {
    const { queue, last } = bench(4, 2);
    queue.open(1);
    queue.send(1, frame(1, 2, 3, 4, 5));
    expect(last()).toEqual(['1/0 05000400', '1/1 01020304']);
    queue.completed(1, 1);
    expect(last().slice(2)).toEqual(['1/1 05']);
  });

  it('take turns between connections, and keep their order in each', () => {
    const { queue, last } = bench(4, 1);
    for (const handle of [1, 2]) queue.open(handle);
    queue.send(1, frame(0xaa));
    queue.send(1, frame(0xbb));
    queue.send(2, frame(0xcc));
    for (const handle of [1, 2, 1, 2, 1]) queue.completed(handle, 1);
    expect(last()).toEqual(['1/0 01000400', '2/0 01000400', '1/1 aa', '2/1 cc', '1/0 01000400', '1/1 bb']);
  });

  it('of a connection that ended are free again', () => {
    const { queue, last } = bench(27, 1);
    for (const handle of [1, 2]) queue.open(handle);
    queue.send(1, frame(1));
    queue.send(2, frame(2));
    expect(last()).toHaveLength(1);
    queue.close(1);
    expect(last()[1]).toBe('2/0 0100040002');
    queue.send(1, frame(3));
    queue.completed(2, 1);
    expect(last()).toHaveLength(2);
  });

  it('are not given back more often than they were given', () => {
    const { queue, last } = bench(27, 1);
    queue.open(1);
    queue.completed(1, 9);
    for (let i = 0; i < 3; i++) queue.send(1, frame(i));
    queue.completed(1, 9);
    expect(last()).toHaveLength(2);
  });

  it('make way for what is newer while they wait, and not once they have begun', () => {
    const { queue, last } = bench(4, 1);
    queue.open(1);
    const replace = (old: number) => (waiting: { payload: Uint8Array }) => waiting.payload[0] === old;
    queue.send(1, frame(1), replace(1));
    queue.send(1, frame(1, 0xaa), replace(1));
    queue.send(1, frame(2), replace(2));
    queue.send(1, frame(1, 0xbb), replace(1));
    for (let i = 0; i < 6; i++) queue.completed(1, 1);
    expect(last().filter((text) => text.startsWith('1/1'))).toEqual(['1/1 01', '1/1 01bb', '1/1 02']);
  });

  it('bring every frame of every connection whole, whatever the sizes and turns', () => {
    const order = fc.array(fc.record({ handle: fc.constantFrom(1, 2, 3), payload: fc.uint8Array({ maxLength: 90 }) }));
    fc.assert(
      fc.property(order, fc.integer({ min: 1, max: 60 }), fc.integer({ min: 1, max: 4 }), (frames, size, count) => {
        const { queue, sent } = bench(size, count);
        const got = new Map<number, Uint8Array[]>([1, 2, 3].map((handle) => [handle, []]));
        const reassemblers = new Map([1, 2, 3].map((handle) => [handle, new Reassembler(90)]));
        for (const handle of [1, 2, 3]) queue.open(handle);
        for (const { handle, payload } of frames) queue.send(handle, { channel: 4, payload });
        for (let i = 0; i < sent.length; i++) {
          expect(sent.length - i).toBeLessThanOrEqual(count);
          const { handle, boundary, data } = sent[i]!;
          const given = reassemblers.get(handle)!.take(boundary === 1 ? 'continuing' : 'first', data);
          for (const one of given) if (one.kind === 'frame') got.get(handle)!.push(one.frame.payload);
          queue.completed(handle, 1);
        }
        for (const handle of [1, 2, 3]) {
          expect(got.get(handle)).toEqual(frames.filter((one) => one.handle === handle).map(({ payload }) => payload));
        }
      }),
    );
  });
});
