import type { Finding } from '../../base/finding.ts';
import { bug } from '../../base/bug.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { Where } from '../model.ts';
import { shortText, type MapNode } from '../tree.ts';
import { missingKey, unknownKey } from './findings.ts';
import { writeInstead } from './fixes.ts';
import {
  shape,
  within,
  type AnyRecord,
  type Field,
  type Fields,
  type JsonSchema,
  type RecordDoc,
  type Spot,
  type Shape,
} from './shape.ts';

export function required<T>(of: Shape<T>, doc: string, example: string): Field<T> {
  return { shape: of, presence: 'required', fallback: undefined, otherwise: 'required', doc, example };
}

/** @param otherwise what holds without the key, in words */
export function optional<T>(of: Shape<T>, otherwise: string, doc: string, example: string): Field<T | undefined> {
  return { shape: of, presence: 'optional', fallback: undefined, otherwise, doc, example };
}

/** @param written the default as the contract would write it */
export function byDefault<T>(of: Shape<T>, fallback: T, written: string, doc: string, example = written): Field<T> {
  return { shape: of, presence: 'default', fallback, otherwise: written, doc, example };
}

type Given<F> = F extends Field<infer T> ? T : never;

/** Every key's value, defaults filled in. */
export type Values<F extends Fields> = { readonly [K in keyof F]: Given<F[K]> };

/** What could be read of a record; keys that were refused, and optional ones left out, are `undefined`. */
export type Draft<F extends Fields> = {
  readonly values: { readonly [K in keyof F]: Given<F[K]> | undefined };
  /** All values, when nothing in the record was refused. */
  readonly whole: Values<F> | undefined;
  readonly where: Where;
  readonly node: MapNode;
};

export type RecordShape<F extends Fields> = Shape<Draft<F>> & RecordDoc & { readonly fields: F };

/**
 * A mapping with known keys. Decodes to a draft even when some of it is refused, so that the rest can still be checked.
 * A key that the record does not have is a finding at the key.
 */
export function record<F extends Fields>(about: RecordDoc, fields: F): RecordShape<F> & AnyRecord {
  const self: RecordShape<F> & AnyRecord = {
    ...about,
    fields,
    definition: () => definitionOf(about, fields),
    ...shape<Draft<F>>({
      wanted: `${about.called} (a mapping)`,
      fits: (node) => node.kind === 'map',
      read: (node, spot) => (node.kind === 'map' ? decodeRecord(about, fields, node, spot) : undefined),
      schema: () => ({ $ref: `#/definitions/${about.id}` }),
      records: () => [self],
    }),
  };
  return self;
}

/** The record's values with their places; `undefined` when anything in it was refused. */
export function whole<F extends Fields>(of: Shape<Draft<F>>): Shape<Values<F> & { readonly where: Where }> {
  return {
    ...of,
    decode(node, spot) {
      const draft = of.decode(node, spot);
      return draft?.whole === undefined ? undefined : { ...draft.whole, where: draft.where };
    },
  };
}

/**
 * The values of a record whose keys may all be left out, with the defaults also for keys that were refused.
 *
 * @param self the place of the record when the contract does not have it
 */
export function filled<F extends Fields>(
  of: RecordShape<F>,
  draft: Draft<F> | undefined,
  self: SourceRange,
): Values<F> & { readonly where: Where } {
  const values: Record<string, unknown> = {};
  for (const [key, field] of Object.entries(of.fields)) {
    bug(field.presence !== 'required', `${of.id} needs ${key}`);
    values[key] = draft?.values[key] ?? field.fallback;
  }
  // Each key of the record has its value now, or is optional.
  return { ...(values as Values<F>), where: draft?.where ?? { self, keys: new Map() } };
}

function decodeRecord<F extends Fields>(about: RecordDoc, fields: F, node: MapNode, spot: Spot): Draft<F> {
  const values: Record<string, unknown> = {};
  const keys = new Map<string, { key: SourceRange; value: SourceRange }>();
  const given = new Set(node.entries.map(({ key }) => key.text));
  const left = Object.keys(fields).filter((key) => !given.has(key));
  let sound = true;

  for (const { key, value } of node.entries) {
    const field = Object.hasOwn(fields, key.text) ? fields[key.text] : undefined;
    if (field === undefined) {
      spot.report(unknown(about, left, key.text, key.at, spot));
      sound = false;
      continue;
    }
    keys.set(key.text, { key: key.at, value: value.at });
    const decoded = field.shape.decode(value, within(spot, `\`${key.text}\``));
    if (decoded === undefined) sound = false;
    values[key.text] = decoded;
  }
  for (const [key, field] of Object.entries(fields)) {
    if (keys.has(key)) continue;
    values[key] = field.fallback;
    if (field.presence !== 'required') continue;
    sound = false;
    spot.report(missingIn(node, key, about.called, field.example));
  }
  // The loops above gave each key of `fields` the value its shape makes.
  const draft = values as Draft<F>['values'];
  return { values: draft, whole: sound ? (values as Values<F>) : undefined, where: { self: node.at, keys }, node };
}

/** The finding for a key that a mapping must have; it points at the mapping's first key. */
export function missingIn(node: MapNode, key: string, called: string, example: string): Finding {
  return missingKey.at(node.entries[0]?.key.at ?? node.at, { key, record: called, example });
}

/** @param left keys of the record that are not given yet */
function unknown(about: RecordDoc, left: readonly string[], key: string, at: SourceRange, spot: Spot): Finding {
  const like = spot.suggest(key, left);
  const fixes = writeInstead(at, like);
  return unknownKey.at(at, { key: shortText(key), record: about.called, nearest: like, keys: left }, { fixes });
}

function definitionOf(about: RecordDoc, fields: Fields): JsonSchema {
  const properties: Record<string, JsonSchema> = {};
  for (const [key, field] of Object.entries(fields)) {
    const schema = field.shape.schema();
    // Draft-07 ignores what stands beside a $ref.
    const base = '$ref' in schema ? { allOf: [schema] } : schema;
    properties[key] = { ...base, description: `${field.doc} ${otherwiseSentence(field)} Example: ${field.example}` };
  }
  const needed = Object.entries(fields).flatMap(([key, field]) => (field.presence === 'required' ? [key] : []));
  return {
    type: 'object',
    description: about.intro,
    properties,
    additionalProperties: false,
    ...(needed.length > 0 ? { required: needed } : {}),
  };
}

function otherwiseSentence(field: Field<unknown>): string {
  switch (field.presence) {
    case 'required':
      return 'Required.';
    case 'optional':
      return `If left out: ${field.otherwise}.`;
    case 'default':
      return `Default: ${field.otherwise}.`;
  }
}
