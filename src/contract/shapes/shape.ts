import type { Finding } from '../../base/finding.ts';
import { describe, plainType, type Node } from '../tree.ts';
import { wrongKind } from './findings.ts';
import { writeInstead } from './fixes.ts';

/** A piece of JSON Schema (draft-07). */
export type JsonSchema = { readonly [keyword: string]: unknown };

/** Takes what was found. */
export type Report = (finding: Finding) => void;

/**
 * The word of `candidates` that `word` may be a misspelling of. Gives nothing more once a text has cost too many
 * comparisons: no honest one does.
 */
export type Suggest = (word: string, candidates: readonly string[]) => string | undefined;

/** Where a decoder reads: how the place is called in messages, and where its findings go. */
export type Spot = {
  /** `` `range` ``, `` entry 2 of `access` `` */
  readonly name: string;
  readonly report: Report;
  readonly suggest: Suggest;
};

/** The spot of something within this one. */
export function within(spot: Spot, name: string): Spot {
  return { name, report: spot.report, suggest: spot.suggest };
}

/**
 * One declaration, three outputs: a decoder from nodes with findings, a JSON Schema, and words for the reference. A
 * schema accepts all that its decoder accepts, and mostly no more.
 */
export type Shape<T> = {
  /** What is wanted here, with its article: `a time`, `a list of access words`. */
  readonly wanted: string;
  /** Whether a node of this form can be meant for this shape; its content may still be refused. */
  readonly fits: (node: Node) => boolean;
  /** `undefined` when something was reported (here, or for a broken node before). */
  readonly decode: (node: Node, spot: Spot) => T | undefined;
  readonly schema: () => JsonSchema;
  /** The records that occur in it, for the reference and the schema's definitions. */
  readonly records: () => readonly AnyRecord[];
  /** The words that may stand here, for the reference; empty where others may, too many to list. */
  readonly choices: () => readonly string[];
};

/** One key of a record. */
export type Field<T> = {
  readonly shape: Shape<unknown>;
  readonly presence: 'required' | 'optional' | 'default';
  /** The value when the key is left out. */
  readonly fallback: T | undefined;
  /** What holds when the key is left out, as it would be written or in words. */
  readonly otherwise: string;
  readonly doc: string;
  /** A value as it would be written. */
  readonly example: string;
  /** Only in the type: what the key's value becomes. */
  readonly gives?: T;
};

export type Fields = Readonly<Record<string, Field<unknown>>>;

/** What the reference and the schema say about a record. */
export type RecordDoc = {
  /** Name in the schema's definitions, and anchor in the reference. */
  readonly id: string;
  /** With its article: `a service`. */
  readonly called: string;
  readonly intro: string;
};

export type AnyRecord = RecordDoc & { readonly fields: Fields; readonly definition: () => JsonSchema };

/** Makes a shape whose `read` is called only with nodes that fit; others are reported. */
export function shape<T>(parts: {
  readonly wanted: string;
  readonly fits: (node: Node) => boolean;
  readonly read: (node: Node, spot: Spot) => T | undefined;
  readonly schema: () => JsonSchema;
  readonly records?: () => readonly AnyRecord[];
  readonly choices?: () => readonly string[];
  /** For a node of another form: what may be meant, as it would be written in its place. */
  readonly meant?: (node: Node, spot: Spot) => string | undefined;
  /** For a node of another form: how to mend it, in words. */
  readonly remedy?: (node: Node) => string | undefined;
}): Shape<T> {
  return {
    wanted: parts.wanted,
    fits: parts.fits,
    schema: parts.schema,
    records: parts.records ?? (() => []),
    choices: parts.choices ?? (() => []),
    decode(node, spot) {
      if (node.kind === 'broken') return undefined;
      if (parts.fits(node)) return parts.read(node, spot);
      const write = unquoted(node, parts.fits) ?? parts.meant?.(node, spot);
      const args = { name: spot.name, found: describe(node), wanted: parts.wanted };
      const remedy = parts.remedy?.(node);
      const mended = { ...args, ...(write !== undefined && { write }), ...(remedy !== undefined && { remedy }) };
      spot.report(wrongKind.at(node.at, mended, { fixes: writeInstead(node.at, write) }));
      return undefined;
    },
  };
}

/** The shape, with what may be meant by a node of another form. */
export function guessing<T>(of: Shape<T>, meant: (node: Node) => string | undefined): Shape<T> {
  return shape({ ...of, read: of.decode, meant });
}

/** What stands in quotes, where it would do without them: `"10"` for a number. */
function unquoted(node: Node, fits: (node: Node) => boolean): string | undefined {
  if (node.kind !== 'scalar' || !node.quoted) return undefined;
  const type = plainType(node.text);
  return type !== 'text' && fits({ ...node, type, quoted: false }) ? node.text : undefined;
}

/** Another value made from what a shape reads; `make` reports what it refuses. */
export function map<T, U>(from: Shape<T>, make: (value: T, node: Node, spot: Spot) => U | undefined): Shape<U> {
  return {
    ...from,
    decode(node, spot) {
      const value = from.decode(node, spot);
      return value === undefined ? undefined : make(value, node, spot);
    },
  };
}

/**
 * The first of the shapes that the node's form fits.
 *
 * @param meant what may be meant where neither fits
 */
export function either<A, B>(
  a: Shape<A>,
  b: Shape<B>,
  meant?: (node: Node, spot: Spot) => string | undefined,
): Shape<A | B> {
  return shape<A | B>({
    ...(meant === undefined ? {} : { meant }),
    wanted: `${a.wanted} or ${b.wanted}`,
    fits: (node) => a.fits(node) || b.fits(node),
    read: (node, spot) => (a.fits(node) ? a.decode(node, spot) : b.decode(node, spot)),
    schema: () => ({ anyOf: [a.schema(), b.schema()] }),
    records: () => [...a.records(), ...b.records()],
    choices: () => [...a.choices(), ...b.choices()],
  });
}

/** A shape that is declared further on, or contains itself. */
export function lazy<T>(wanted: string, get: () => Shape<T>): Shape<T> {
  return {
    wanted,
    fits: (node) => get().fits(node),
    decode: (node, spot) => get().decode(node, spot),
    schema: () => get().schema(),
    records: () => get().records(),
    choices: () => get().choices(),
  };
}
