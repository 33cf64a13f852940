/**
 * A row of octets with names under it: what every ruler draws. Places along it count in bits of the strip, eight a cell,
 * so a break takes the room of one octet however much it leaves out.
 */
export type Strip = { readonly cells: readonly Cell[]; readonly spans: readonly Span[] };

export type Cell =
  | {
      readonly kind: 'octet';
      /** Index in the whole, from 0: the order on the air. */
      readonly index: number;
      /** `undefined` where nothing is known to stand. */
      readonly value: number | undefined;
      /** The character it is, in a text. */
      readonly glyph: string | undefined;
      /** True where an octet may be and need not. */
      readonly optional: boolean;
      /** True for octets that only frame others: lengths and types. */
      readonly frames: boolean;
    }
  /** Octets that are left out of the drawing, or that may come. */
  | { readonly kind: 'break'; readonly words: string };

export type Span = {
  /** `break`: names what a break leaves out. */
  readonly kind: 'field' | 'unused' | 'break';
  /** First bit, and how many, along the strip. */
  readonly start: number;
  readonly length: number;
  /** What stands under it: a name, what is there now, and how it is coded. Empty for nothing. */
  readonly label: string;
  readonly value: string;
  readonly detail: string;
  /** Bits are numbered under it, from 0. */
  readonly numbered: boolean;
  /** Its row in the table for those who do not see the drawing. */
  readonly words: SpanWords;
};

export type SpanWords = {
  readonly name: string;
  /** `octets 2 to 3`, `octet 0, bits 0 to 3`. */
  readonly place: string;
  readonly coding: string;
  readonly value: string;
};

/** `octet 0, bits 0 to 3`; whole octets without bits. */
export function placeWords(bitOffset: number, bitLength: number): string {
  const first = Math.floor(bitOffset / 8);
  const last = Math.floor((bitOffset + Math.max(1, bitLength) - 1) / 8);
  const octets = first === last ? `octet ${first}` : `octets ${first} to ${last}`;
  if (bitOffset % 8 === 0 && bitLength % 8 === 0) return octets;
  const from = bitOffset - 8 * first;
  return `${octets}, bits ${from} to ${from + bitLength - 1}`;
}

/** The part of a span that lies in one row of a wrapped strip, in bits from the row's start. */
export type RowSpan = {
  readonly span: Span;
  readonly start: number;
  readonly end: number;
  readonly opens: boolean;
  readonly closes: boolean;
};

/** @param row from 0; `perRow` cells a row */
export function spansOfRow({ spans }: Strip, row: number, perRow: number): readonly RowSpan[] {
  const from = row * perRow * 8;
  const to = from + perRow * 8;
  return spans
    .filter(({ start, length }) => start < to && start + length > from)
    .map((span) => ({
      span,
      start: Math.max(span.start, from) - from,
      end: Math.min(span.start + span.length, to) - from,
      opens: span.start >= from,
      closes: span.start + span.length <= to,
    }));
}
