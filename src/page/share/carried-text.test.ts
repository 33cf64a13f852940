import { inflateRawSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { carriedFragment, readCarried } from './carried-text.ts';
import { isCarried } from './is-carried.ts';

describe('a contract in an address', () => {
  it('comes out as it went in, whatever it and its name are', async () => {
    await fc.assert(
      fc.asyncProperty(fc.string({ unit: 'grapheme' }), fc.string({ unit: 'grapheme' }), async (name, text) => {
        const fragment = await carriedFragment({ name, text });
        expect(isCarried(fragment)).toBe(true);
        expect(fragment).toMatch(/^[\w=&.!~*'()%-]+$/);
        expect(await readCarried(fragment)).toEqual({ name, text });
      }),
      { numRuns: 60 },
    );
  });

  it('is plain DEFLATE in base64url, as any program reads it', async () => {
    const fragment = await carriedFragment({ name: 'a.yaml', text: 'contract: 1\n'.repeat(50) });
    const packed = /^open=([\w-]+)&name=a\.yaml$/.exec(fragment)![1]!;
    expect(inflateRawSync(Buffer.from(packed, 'base64url')).toString()).toBe('contract: 1\n'.repeat(50));
    expect(packed.length).toBeLessThan(60);
  });

  it('is nothing when it was cut, changed, or unfolds without end', async () => {
    const fragment = await carriedFragment({ name: 'a.yaml', text: 'contract: 1\nboard: { name: Tank }\n' });
    expect(await readCarried(fragment.slice(0, 20))).toBeUndefined();
    expect(await readCarried('open=%%%')).toBeUndefined();
    expect(await readCarried('open=')).toBeUndefined();
    expect(await readCarried(await carriedFragment({ name: 'a', text: '\0'.repeat(3_000_000) }))).toBeUndefined();
    expect(isCarried('panel')).toBe(false);
  });
});
