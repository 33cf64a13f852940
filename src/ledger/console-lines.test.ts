import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ConsoleLines } from './console-lines.ts';

const octets = (text: string): Uint8Array => new TextEncoder().encode(text);

function linesOf(...pieces: readonly Uint8Array[]): { lines: string[]; troubles: ConsoleLines['troubles'] } {
  const lines: string[] = [];
  const reader = new ConsoleLines((line) => lines.push(line));
  for (const piece of pieces) reader.take(piece);
  return { lines, troubles: reader.troubles };
}

describe('lines of a console', () => {
  it('end with LF, CR LF or CR, and need an end', () => {
    expect(linesOf(octets('one\ntwo\r\nthree\rfour')).lines).toEqual(['one', 'two', 'three']);
  });

  it('are the same however the octets are cut into pieces', () => {
    const text = fc.array(fc.constantFrom('tell 5 level 00', 'ß€😀', '', 'x'.repeat(200)), { maxLength: 8 });
    const ends = fc.constantFrom('\n', '\r\n', '\r');
    fc.assert(
      fc.property(text, ends, fc.array(fc.nat({ max: 400 })), (lines, end, cuts) => {
        const whole = octets(lines.map((line) => line + end).join(''));
        const places = [...cuts.map((cut) => Math.min(cut, whole.length)), 0, whole.length].sort((a, b) => a - b);
        const pieces = places.slice(1).map((place, i) => whole.subarray(places[i], place));
        expect(linesOf(...pieces).lines).toEqual(lines.filter((line) => line !== ''));
      }),
    );
  });

  it('of more than 4096 octets are skipped to their end, however long', () => {
    const long = octets('a'.repeat(4096));
    const { lines, troubles } = linesOf(
      long,
      octets('\n'),
      long,
      octets('b\nnext\n'),
      long,
      long,
      long,
      octets('\nok\n'),
    );
    expect(lines).toEqual(['a'.repeat(4096), 'next', 'ok']);
    expect(troubles).toEqual({ tooLong: 2, notText: 0 });
  });

  it('that are no text are counted and left out', () => {
    const { lines, troubles } = linesOf(Uint8Array.of(0xff, 0xfe, 0x0a), octets('tell\n'), Uint8Array.of(0xc3, 0x0d));
    expect(lines).toEqual(['tell']);
    expect(troubles).toEqual({ tooLong: 0, notText: 2 });
  });

  it('forget the half that came before the stream broke off', () => {
    const lines: string[] = [];
    const reader = new ConsoleLines((line) => lines.push(line));
    reader.take(octets('tell 50'));
    reader.reset();
    reader.take(octets('note 0 start ab\n'));
    expect(lines).toEqual(['note 0 start ab']);
  });

  it('come whole out of any octets, and memory stays small', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 300 })), (pieces) => {
        for (const line of linesOf(...pieces).lines) expect(line).not.toMatch(/[\r\n]/);
      }),
    );
  });
});
