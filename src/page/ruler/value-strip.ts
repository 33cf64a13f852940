import type { Bytes } from '../../base/bytes.ts';
import type { ValueType } from '../../values/type.ts';
import { codingWords } from './coding-words.ts';
import { placeWords, type Cell, type Span, type Strip } from './strip.ts';
import { piecesOf, pieceValue, type Piece } from './value-pieces.ts';

/** Octets of an array or a text that are drawn whole. */
const wholeUpTo = 16;

/**
 * The strip of a value: one span a field, unused bits, and breaks where an array or a text is too long to draw.
 *
 * @param bytes what the value is now; its length need not be one that the type allows
 */
export function valueStrip(type: ValueType, bytes?: Bytes): Strip {
  const { pieces, octets, more } = piecesOf(type, bytes);
  const total = Math.max(octets, bytes?.length ?? 0);
  const elided = elidedRuns(pieces);
  const cells: Cell[] = [];
  /** Cell of each octet; those left out share that of their break. */
  const cellOf: number[] = [];
  for (let octet = 0; octet < total; octet++) {
    const run = elided.find(({ from, to }) => octet >= from && octet < to);
    if (run === undefined || octet === run.from) cells.push(run === undefined ? octetCell(octet) : breakCell(run));
    cellOf.push(cells.length - 1);
  }
  const last = pieces.at(-1);
  if (more !== '') cells.push({ kind: 'break', words: '…' });

  function octetCell(index: number): Cell {
    const piece = pieces.find(({ bitOffset, bitLength }) => 8 * index < bitOffset + bitLength);
    const value = bytes?.[index];
    const isText = piece?.type.kind === 'text' && piece.type.encoding === 'utf8';
    return {
      kind: 'octet',
      index,
      value,
      glyph: isText ? glyphOf(value) : undefined,
      optional: value === undefined && (bytes !== undefined || (piece?.optional ?? true)),
      frames: false,
    };
  }

  const spans: Span[] = [];
  let position = 0;
  const unusedUpTo = (end: number): void => {
    if (end > position) spans.push(unusedSpan(position, end - position, stripBit(position)));
  };
  const stripBit = (bit: number): number => 8 * (cellOf[Math.floor(bit / 8)] ?? cells.length) + (bit % 8);
  let lastCoding = '';
  for (const piece of pieces) {
    const { bitOffset, bitLength } = piece;
    unusedUpTo(bitOffset);
    position = Math.max(position, bitOffset + bitLength);
    const run = elided.find(({ from, to, items }) => items !== '' && bitOffset >= 8 * from && bitOffset < 8 * to);
    const start = stripBit(bitOffset);
    if (run !== undefined) {
      if (bitOffset === 8 * run.from) spans.push(breakSpan(run, start));
      continue;
    }
    const open = more !== '' && piece === last && !isItem(piece) ? 8 : 0;
    const end = stripBit(bitOffset + Math.max(1, bitLength) - 1) + 1 + open;
    const coding = codingWords(piece.type);
    spans.push(fieldSpan(piece, bytes, { start, length: end - start }, coding === lastCoding && isItem(piece)));
    lastCoding = coding;
  }
  unusedUpTo(8 * Math.max(octets, total));
  return { cells, spans };
}

/** Octets that are left out, `to` exclusive. */
type Run = {
  readonly from: number;
  readonly to: number;
  /** The items that they are, `3 to 23`; empty for the middle of a text. */
  readonly items: string;
};

/** Octets that are left out: all but the first two items and the last of a long array, the middle of a long text. */
function elidedRuns(pieces: readonly Piece[]): readonly Run[] {
  const runs: Run[] = [];
  const arrays = new Map<string, Piece[]>();
  for (const piece of pieces) {
    const array = /^(.*?)\[\d+\]/.exec(piece.path)?.[1];
    if (array !== undefined) arrays.set(array, [...(arrays.get(array) ?? []), piece]);
    const octets = piece.bitLength / 8;
    if ((piece.type.kind === 'text' || piece.type.kind === 'bytes') && octets > wholeUpTo) {
      const from = piece.bitOffset / 8 + wholeUpTo - 4;
      const to = piece.bitOffset / 8 + octets - 3;
      runs.push({ from, to, items: '' });
    }
  }
  for (const [array, items] of arrays) {
    const first = items[0];
    const last = items.at(-1);
    if (first === undefined || last === undefined) continue;
    const indexOf = ({ path }: Piece): number => Number(/^\[(\d+)\]/.exec(path.slice(array.length))?.[1] ?? 0);
    const count = indexOf(last) + 1;
    if (count <= 4 || (last.bitOffset + last.bitLength - first.bitOffset) / 8 <= wholeUpTo) continue;
    const start = (index: number): number => (items.find((piece) => indexOf(piece) === index)?.bitOffset ?? 0) / 8;
    runs.push({ from: start(2), to: start(count - 1), items: `3 to ${count - 1}` });
  }
  return runs.sort((a, b) => a.from - b.from);
}

function breakCell({ from, to }: Run): Cell {
  return { kind: 'break', words: `+${to - from}` };
}

function breakSpan({ from, to, items }: Run, start: number): Span {
  const place = placeWords(8 * from, 8 * (to - from));
  const words = { name: items, place, coding: 'each like the one before', value: '' };
  return { kind: 'break', start, length: 8, label: items, value: '', detail: '', numbered: false, words };
}

function fieldSpan(
  piece: Piece,
  bytes: Bytes | undefined,
  place: { readonly start: number; readonly length: number },
  known: boolean,
): Span {
  const coding = codingWords(piece.type);
  const value = bytes === undefined || piece.optional ? '' : pieceValue(piece, bytes);
  const numbered = piece.type.kind !== 'text' && piece.type.kind !== 'bytes';
  return {
    kind: 'field',
    ...place,
    label: piece.label,
    value,
    detail: known ? '' : coding,
    numbered,
    words: {
      name: piece.label,
      place: piece.optional ? 'varies' : placeWords(piece.bitOffset, piece.bitLength),
      coding,
      value,
    },
  };
}

function unusedSpan(bitOffset: number, length: number, start: number): Span {
  return {
    kind: 'unused',
    start,
    length,
    label: 'unused',
    value: '',
    detail: '',
    numbered: false,
    words: { name: 'unused', place: placeWords(bitOffset, length), coding: 'always 0', value: '' },
  };
}

function isItem({ path }: Piece): boolean {
  return path.endsWith(']');
}

/** A character that can be told in a small square. */
function glyphOf(octet: number | undefined): string | undefined {
  if (octet === undefined) return undefined;
  return octet > 0x20 && octet < 0x7f ? String.fromCharCode(octet) : octet === 0x20 ? '␣' : '·';
}
