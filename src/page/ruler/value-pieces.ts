import { bigFromLe, type Bytes } from '../../base/bytes.ts';
import { layoutOf, type LayoutField } from '../../values/layout.ts';
import { lengthRange } from '../../values/packing.ts';
import { showBytes, showCoded } from '../../values/show.ts';
import type { ValueType } from '../../values/type.ts';

/** A piece of a value as it really is: lengths that vary are settled by its octets, or by the least there may be. */
export type Piece = LayoutField & {
  /** True beyond the least length when no octets say that it is there. */
  readonly optional: boolean;
};

/** Pieces of a value, and what may follow them that is not drawn. */
export type Pieces = {
  readonly pieces: readonly Piece[];
  /** Octets from the start to the end of the last piece. */
  readonly octets: number;
  /** `up to 60 octets`; empty when nothing more can come. */
  readonly more: string;
};

/** Octets drawn of a text that has none of its own yet. */
const sampleOctets = 3;
/** Items drawn of an array that has none of its own yet. */
const sampleItems = 2;

/** @param bytes the value's octets; without them what its type says is drawn */
export function piecesOf(type: ValueType, bytes: Bytes | undefined): Pieces {
  const fields = layoutOf(type);
  const fixed = fields.filter(({ variable }) => !variable).map((field): Piece => ({ ...field, optional: false }));
  const tail = fields.find(({ variable }) => variable);
  if (tail === undefined) return { pieces: fixed, octets: lengthRange(type).min, more: '' };
  // An empty tail is drawn as what may come: there would be nothing to see of it.
  const rest = Math.max(0, (bytes?.length ?? 0) - tail.bitOffset / 8) || undefined;
  const end = tail.type.kind === 'array' ? itemsOf(tail, tail.type, rest) : textOf(tail, rest);
  return { ...end, pieces: [...fixed, ...end.pieces] };
}

/** What the piece holds now, in words; empty when the octets do not reach that far. */
export function pieceValue({ bitOffset, bitLength, type }: Piece, bytes: Bytes): string {
  if (bitOffset + bitLength > 8 * bytes.length) return '';
  if (bitOffset % 8 === 0 && bitLength % 8 === 0) {
    return showBytes(type, bytes.slice(bitOffset / 8, (bitOffset + bitLength) / 8));
  }
  const code = BigInt.asUintN(bitLength, bigFromLe(bytes) >> BigInt(bitOffset));
  const value = type.kind === 'integer' && type.signed ? BigInt.asIntN(bitLength, code) : code;
  return showCoded(type, { kind: 'integer', value });
}

function textOf(field: LayoutField, rest: number | undefined): Pieces {
  const { min, max } = lengthRange(field.type);
  const start = field.bitOffset / 8;
  const drawn = rest ?? Math.max(1, min, Math.min(max, sampleOctets));
  return {
    pieces: [{ ...field, bitLength: 8 * drawn, optional: rest === undefined && min < drawn }],
    octets: start + drawn,
    more: rest === undefined && max > drawn ? `up to ${max} octets` : '',
  };
}

function itemsOf(
  field: LayoutField,
  { element, minCount, maxCount }: Extract<ValueType, { kind: 'array' }>,
  rest: number | undefined,
): Pieces {
  const size = lengthRange(element).max;
  const count = rest === undefined ? Math.max(minCount, Math.min(maxCount, sampleItems)) : Math.floor(rest / size);
  const inner = layoutOf(element);
  const pieces: Piece[] = [];
  for (let i = 0; i < count; i++) {
    for (const one of inner) {
      pieces.push({
        ...one,
        path: `${field.path}[${i}]${one.path === '' || one.path.startsWith('[') ? '' : '.'}${one.path}`,
        label: [field.label, String(i + 1), one.label].filter((word) => word !== '').join(' · '),
        bitOffset: field.bitOffset + 8 * i * size + one.bitOffset,
        optional: rest === undefined && i >= minCount,
      });
    }
  }
  return {
    pieces,
    octets: field.bitOffset / 8 + count * size,
    more: rest === undefined && maxCount > count ? `up to ${maxCount} items` : '',
  };
}
