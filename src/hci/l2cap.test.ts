import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { fromHex, toHex } from '../base/bytes.ts';
import { encodeFrame, fixedChannel, fragment, Reassembler, type Boundary, type Reassembled } from './l2cap.ts';

const hex = (text: string) => fromHex(text)!;

function text(given: readonly Reassembled[]): readonly string[] {
  return given.map((one) =>
    one.kind === 'frame' ? `${one.frame.channel} ${toHex(one.frame.payload)}` : `dropped: ${one.about}`,
  );
}

describe('a frame', () => {
  it('has its length, its channel and its payload', () => {
    // Core Vol 3 Part A 3.1; an Exchange MTU Request for 517 on the attribute channel.
    const octets = encodeFrame({ channel: fixedChannel.attribute, payload: hex('02 05 02') });
    expect(toHex(octets, ' ')).toBe('03 00 04 00 02 05 02');
  });

  it('comes back whole from fragments of any size', () => {
    fc.assert(
      fc.property(
        fc.uint8Array({ maxLength: 600 }),
        fc.integer({ min: 0, max: 0xffff }),
        fc.integer({ min: 1, max: 300 }),
        (payload, channel, size) => {
          const reassembler = new Reassembler(600);
          const parts = fragment(encodeFrame({ channel, payload }), size);
          expect(parts.every(({ data }) => data.length <= size)).toBe(true);
          const given = parts.flatMap(({ boundary, data }) => reassembler.take(boundary, data));
          expect(given).toEqual([{ kind: 'frame', frame: { channel, payload } }]);
        },
      ),
    );
  });

  it('does not change when the octets it came in are used again', () => {
    const reassembler = new Reassembler(100);
    const buffer = hex('02 00 04 00 aa');
    reassembler.take('first', buffer);
    buffer.fill(0);
    expect(text(reassembler.take('continuing', hex('bb')))).toEqual(['4 aabb']);
  });
});

describe('what is no frame', () => {
  const run = (...packets: readonly (readonly [Boundary, string])[]): readonly string[] => {
    const reassembler = new Reassembler(8);
    return text(packets.flatMap(([boundary, octets]) => reassembler.take(boundary, hex(octets))));
  };

  it('is dropped when its end never comes, and the next frame is taken', () => {
    expect(run(['first', '05 00 04 00 aa'], ['first', '01 00 04 00 bb'])).toEqual([
      'dropped: a frame was cut off after 5 of its octets',
      '4 bb',
    ]);
  });

  it('is dropped with all that goes on with it when it has too many octets', () => {
    expect(run(['first', '01 00 04 00 aa bb'], ['continuing', 'cc'], ['first', '00 00 05 00'])).toEqual([
      'dropped: a frame of length 1 has 2 octets',
      'dropped: a fragment goes on with a frame that was not begun',
      '5 ',
    ]);
  });

  it('is dropped when it is longer than what is taken', () => {
    expect(run(['first', '09 00 04 00 aa'])).toEqual([
      'dropped: a frame of 9 octets is longer than the 8 that are taken',
    ]);
  });

  it('is dropped when nothing began it', () => {
    expect(run(['continuing', '01 00 04 00 aa'])).toEqual([
      'dropped: a fragment goes on with a frame that was not begun',
    ]);
  });

  it('may have its header in pieces', () => {
    expect(run(['first', '01'], ['continuing', '00 04'], ['continuing', '00'], ['continuing', 'ee'])).toEqual(['4 ee']);
  });

  it('never makes the reassembler keep more than one frame', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.constantFrom<Boundary>('first', 'continuing'), fc.uint8Array({ maxLength: 40 }))),
        (packets) => {
          const reassembler = new Reassembler(30);
          for (const [boundary, data] of packets) {
            for (const one of reassembler.take(boundary, data)) {
              if (one.kind === 'frame') expect(one.frame.payload.length).toBeLessThanOrEqual(30);
            }
          }
          expect(text(reassembler.take('first', hex('01 00 04 00 bb'))).at(-1)).toBe('4 bb');
        },
      ),
    );
  });
});
