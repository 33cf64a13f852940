import { describe, expect, it } from 'vitest';
import { sourceText } from './source.ts';

const octets = (...values: readonly number[]): Uint8Array => Uint8Array.from(values);

describe('sourceText', () => {
  it('takes a string as it is', () => {
    expect(sourceText('contract: 1\n')).toEqual({ text: 'contract: 1\n', findings: [], readable: true });
  });

  it('decodes octets, without a byte order mark', () => {
    const source = new TextEncoder().encode('\ufeffname: Café €\n');
    expect(sourceText(source).text).toBe('name: Café €\n');
  });

  it('keeps a byte order mark that is not the first character', () => {
    expect(sourceText(new TextEncoder().encode('a\ufeff')).text).toBe('a\ufeff');
  });

  it('points at the first octet that is no UTF-8, and shows each as U+FFFD', () => {
    // é in Latin-1, then an overlong NUL (RFC 3629 section 3).
    const result = sourceText(octets(0x61, 0xe9, 0x0a, 0x62, 0xc0, 0x80, 0x63));
    expect(result.text).toBe('a\ufffd\nb\ufffd\ufffdc');
    expect(result.readable).toBe(false);
    expect(result.findings.map(({ code, at, message }) => ({ code, at, message }))).toEqual([
      {
        code: 'not-utf8',
        at: { start: 1, end: 2 },
        message: 'octet 0xe9 at offset 1 is not UTF-8: 0x0a cannot follow 0xe9',
      },
    ]);
  });

  it.each([
    ['surrogates', [0xed, 0xa0, 0x80]],
    ['beyond U+10FFFF', [0xf4, 0x90, 0x80, 0x80]],
    ['a cut sequence', [0xe2, 0x82]],
  ])('refuses %s', (_what, values) => {
    expect(sourceText(octets(...values)).findings.map(({ code }) => code)).toEqual(['not-utf8']);
  });

  it('takes a mebibyte and no octet more', () => {
    expect(sourceText('x'.repeat(1_048_576)).readable).toBe(true);
    expect(sourceText('x'.repeat(1_048_577)).findings[0]?.code).toBe('file-too-large');
    expect(sourceText(new Uint8Array(1_048_577).fill(0x78)).findings[0]?.code).toBe('file-too-large');
    // 600,000 characters of two octets.
    expect(sourceText(new TextEncoder().encode('é'.repeat(600_000))).findings[0]?.code).toBe('file-too-large');
  });
});
