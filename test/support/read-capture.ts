import { expect } from 'vitest';
import { toHex, type Bytes } from '../../src/base/bytes.ts';

type CapturedPacket = {
  readonly interface: number;
  readonly at: number;
  readonly data: Bytes;
  readonly options: ReadonlyMap<number, string>;
};
type CaptureFile = {
  readonly blocks: string;
  readonly linkTypes: readonly number[];
  readonly packets: readonly CapturedPacket[];
};

/** An independent, strict look at a capture file straight from draft-ietf-opsawg-pcapng sections 3 and 4. */
export function readCapture(file: Bytes): CaptureFile {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const blocks: string[] = [];
  const linkTypes: number[] = [];
  const packets: CapturedPacket[] = [];
  let little = true;
  for (let at = 0; at < file.length;) {
    expect(at % 4).toBe(0);
    const type = view.getUint32(at, true) === 0x0a0d0d0a ? 0x0a0d0d0a : view.getUint32(at, little);
    if (type === 0x0a0d0d0a) {
      little = view.getUint32(at + 8, true) === 0x1a2b3c4d;
      expect(view.getUint32(at + 8, little)).toBe(0x1a2b3c4d);
      expect(view.getUint16(at + 12, little)).toBe(1);
      linkTypes.length = 0;
    }
    const length = view.getUint32(at + 4, little);
    expect(length % 4).toBe(0);
    expect(view.getUint32(at + length - 4, little)).toBe(length);
    const end = at + length - 4;
    if (type === 0x0a0d0d0a) blocks.push('SHB');
    else if (type === 1) {
      blocks.push('IDB');
      linkTypes.push(view.getUint16(at + 8, little));
    } else if (type === 6) {
      blocks.push('EPB');
      const captured = view.getUint32(at + 20, little);
      expect(view.getUint32(at + 24, little)).toBeGreaterThanOrEqual(captured);
      const begin = at + 28;
      const behind = begin + captured + ((4 - (captured % 4)) % 4);
      expect([...file.subarray(begin + captured, behind)].every((octet) => octet === 0)).toBe(true);
      packets.push({
        interface: view.getUint32(at + 8, little),
        at: view.getUint32(at + 12, little) * 2 ** 32 + view.getUint32(at + 16, little),
        data: file.slice(begin, begin + captured),
        options: options(view, behind, end, little),
      });
    } else blocks.push('other');
    at += length;
  }
  return { blocks: blocks.join(', '), linkTypes, packets };
}

function options(view: DataView, from: number, end: number, little: boolean): ReadonlyMap<number, string> {
  const found = new Map<number, string>();
  for (let at = from; at < end;) {
    const code = view.getUint16(at, little);
    const length = view.getUint16(at + 2, little);
    if (code === 0) {
      expect([length, at + 4]).toEqual([0, end]);
      break;
    }
    const octets = new Uint8Array(view.buffer, view.byteOffset + at + 4, length);
    found.set(code, code === 1 ? new TextDecoder().decode(octets) : toHex(octets));
    at += 4 + length + ((4 - (length % 4)) % 4);
  }
  return found;
}
