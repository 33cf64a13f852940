import { blockSize } from '../../table/advertising-block.ts';
import type { AdvertisingData } from '../../table/model.ts';
import { placeWords, type Cell, type Span, type Strip } from './strip.ts';

/** The strip of advertising data: a span an element, its first two octets length and type, and what is free. */
export function advertisingStrip({ bytes, elements }: AdvertisingData): Strip {
  const cells = Array.from({ length: blockSize }, (_, index): Cell => {
    const value = bytes[index];
    // Each element begins with its length and its type.
    const frames = elements.some(({ offset }) => index === offset || index === offset + 1);
    return { kind: 'octet', index, value, glyph: undefined, optional: value === undefined, frames };
  });
  const spans = elements.map(({ name, about, offset, length }): Span => {
    const place = placeWords(8 * offset, 8 * length);
    return {
      kind: 'field',
      start: 8 * offset,
      length: 8 * length,
      label: name,
      value: '',
      detail: about,
      numbered: false,
      words: { name, place, coding: about, value: '' },
    };
  });
  const free = blockSize - bytes.length;
  if (free > 0) spans.push(freeSpan(bytes.length, free));
  return { cells, spans };
}

function freeSpan(offset: number, octets: number): Span {
  const label = `${octets} free`;
  const place = placeWords(8 * offset, 8 * octets);
  return {
    kind: 'field',
    start: 8 * offset,
    length: 8 * octets,
    label,
    value: '',
    detail: '',
    numbered: false,
    words: { name: 'free', place, coding: '', value: '' },
  };
}
