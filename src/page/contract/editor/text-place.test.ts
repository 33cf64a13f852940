import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeAt } from './text-place.ts';

/** The place of `|` in the text, as `kind path`. */
function at(marked: string): string {
  const place = placeAt(marked.replace('|', ''), marked.indexOf('|'));
  return place === undefined ? 'nothing' : `${place.kind} ${place.path.join('/')}`;
}

describe('the place of a cursor in a contract', () => {
  it.each([
    ['|', 'key '],
    ['con|', 'key '],
    ['contract: 1\nbo|ard:\n', 'key '],
    ['contract: |', 'value contract'],
    ['contract: 1|', 'value contract'],
    ['board:\n  na|', 'key board'],
    ['board:\n  name: x\n  |\nradio:\n', 'key board'],
    ['board:\n  name: x\n|\nradio:\n', 'key '],
    ['board:\n  name: T|ank', 'value board/name'],
    ['radio: { advertise: { | }, connection: { mtu: 23 } }', 'key radio/advertise'],
    ['radio: { advertise: { interval: | } }', 'value radio/advertise/interval'],
    ['radio: { advertise: { interval: 100 m|s } }', 'value radio/advertise/interval'],
    ['radio: { adv|', 'key radio'],
    ['services:\n  - id: a\n    characteristics:\n      - id: b\n        ty|', 'key services/0/characteristics/0'],
    ['services:\n  - id: a\n    characteristics:\n      - id: b\n        |', 'key services/0/characteristics/0'],
    ['services:\n  - id: a\n    characteristics:\n      - id: b\n    |', 'key services/0'],
    ['services:\n  - id: a\n    characteristics:\n      - id: b\n      - |', 'item services/0/characteristics/1'],
    ['services:\n  - id: a\n  - id: b\n    label: |', 'value services/1/label'],
    ['services:\n- id: a\n- id: b\n  la|: x', 'key services/1'],
    ['access: [read, |]', 'item access/1'],
    ['access: [read, no|tify, write]', 'item access/1'],
    ['access: [|]', 'item access/0'],
    ['access:\n  - read\n  - no|', 'item access/1'],
    ['type: { enum: uint8, names: { 0: none, 1: | } }', 'value type/names/1'],
    ['fields:\n  - { id: a, type: | }\n  - { id: b }', 'value fields/0/type'],
    ['x: # com|ment', 'nothing'],
    ['x: |# comment', 'value x'],
    ['# com|ment', 'nothing'],
    ['a: { b: [1, 2\nc: |', 'value c'],
    ['note: >\n  long text: with| colon\nnext: 1', 'nothing'],
    ['on-link-loss: { value: 0, wi| }', 'key on-link-loss'],
    ['a: {\n  b: 1,\n  |\n}', 'key a'],
  ])('%j is %s', (marked, expected) => {
    expect(at(marked)).toBe(expected);
  });

  it('knows the word, and the keys on both sides of it', () => {
    const text = 'drive:\n  wid\n  kind: timer # what\n  clock: 1 MHz\n';
    const place = placeAt(text, 11);
    expect(text.slice(place?.from, place?.to)).toBe('wid');
    expect([...(place?.keys ?? [])]).toEqual([
      ['kind', 'timer'],
      ['clock', '1 MHz'],
    ]);
  });

  it('knows the items around', () => {
    expect(placeAt('access: [read, , write]', 15)?.items).toEqual(['read', 'write']);
    expect(placeAt('access:\n  - read\n  - w', 21)?.items).toEqual(['read', 'w']);
  });

  it('is told of any text in bounded time, within its bounds', () => {
    const piece = fc.constantFrom(
      'a: ',
      '- ',
      '{',
      '}',
      '[',
      ']',
      '\n',
      '  ',
      ',',
      ': ',
      '#',
      '"',
      "'",
      '|',
      'x',
      '\r\n',
      ' ',
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 40 }), fc.nat(60), (pieces, n) => {
        const text = pieces.join('');
        const offset = Math.min(n, text.length);
        const place = placeAt(text, offset);
        if (place === undefined) return;
        expect(place.from).toBeLessThanOrEqual(offset);
        expect(place.to).toBeGreaterThanOrEqual(offset);
        expect(text.slice(place.from, place.to)).not.toContain('\n');
      }),
    );
  });
});
