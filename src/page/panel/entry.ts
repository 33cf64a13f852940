import type { Bytes } from '../../base/bytes.ts';
import type { Rational } from '../../base/rational.ts';
import { zero } from '../../base/rational.ts';
import { decode, encode } from '../../values/codec.ts';
import { parsePhysical } from '../../values/parse.ts';
import { toCoded, toPhysical } from '../../values/physical.ts';
import { refusalText, refusalWithin } from '../../values/refusal.ts';
import { showPhysical } from '../../values/show.ts';
import { defaultBytes } from '../../values/start.ts';
import type { Coded, Physical, Refusal, Result, ValueType } from '../../values/type.ts';
import { unbounded } from '../../values/unbounded.ts';

/** A value as it is being entered: what was typed stays as it was typed, also while it is no value. */
export type Entry =
  /** Numbers, texts, octets: as typed. */
  | { readonly kind: 'typed'; readonly text: string }
  /** Booleans, choices and flags: as pressed. */
  | { readonly kind: 'chosen'; readonly physical: Physical }
  | { readonly kind: 'record'; readonly fields: readonly Entry[] }
  | { readonly kind: 'list'; readonly items: readonly Entry[] };

/** The entry that says what octets hold; for octets that are no value of the type, its value at rest. */
export function entryOf(type: ValueType, bytes: Bytes): Entry {
  const decoded = decode(type, bytes);
  if (decoded.ok) return entryOfPhysical(type, toPhysical(type, decoded.value));
  const rest = decode(type, defaultBytes(type));
  return rest.ok ? entryOfPhysical(type, toPhysical(type, rest.value)) : { kind: 'typed', text: '' };
}

export function entryOfPhysical(type: ValueType, physical: Physical): Entry {
  if (type.kind === 'struct' && physical.kind === 'record') {
    const fields = type.fields.map(({ type: part }, i): Entry => {
      const value = physical.fields[i]?.value;
      return value === undefined ? { kind: 'typed', text: '' } : entryOfPhysical(part, value);
    });
    return { kind: 'record', fields };
  }
  if (type.kind === 'array' && physical.kind === 'list') {
    return { kind: 'list', items: physical.items.map((item) => entryOfPhysical(type.element, item)) };
  }
  if (type.kind === 'boolean' || type.kind === 'enum' || type.kind === 'flags') return { kind: 'chosen', physical };
  return { kind: 'typed', text: showPhysical(type, physical, { unit: false }) };
}

/** The value an entry stands for; refusals say in the user's words what may stand instead. */
export function physicalOf(type: ValueType, entry: Entry): Result<Physical> {
  switch (entry.kind) {
    case 'typed':
      return parsePhysical(type, type.kind === 'text' ? entry.text : entry.text.replaceAll('−', '-'));
    case 'chosen':
      return { ok: true, value: entry.physical };
    case 'record': {
      const fields: { readonly id: string; readonly value: Physical }[] = [];
      for (const [i, part] of entry.fields.entries()) {
        const field = type.kind === 'struct' ? type.fields[i] : undefined;
        if (field === undefined) continue;
        const value = physicalOf(field.type, part);
        if (!value.ok) return { ok: false, refusal: refusalWithin(field.label, value.refusal) };
        fields.push({ id: field.id, value: value.value });
      }
      return { ok: true, value: { kind: 'record', fields } };
    }
    case 'list': {
      const items: Physical[] = [];
      for (const [i, part] of entry.items.entries()) {
        const value = physicalOf(type.kind === 'array' ? type.element : type, part);
        if (!value.ok) return { ok: false, refusal: refusalWithin(`item ${i + 1}`, value.refusal) };
        items.push(value.value);
      }
      return { ok: true, value: { kind: 'list', items } };
    }
  }
}

/** What would be sent for an entry. */
export type Sendable =
  | {
      readonly ok: true;
      readonly bytes: Bytes;
      /** Why a board refuses these octets; `undefined` for a value that it takes. They can be sent all the same. */
      readonly refusal: string | undefined;
      /** For a number: what the coding makes of it minus what was entered, in the unit. */
      readonly error: Rational;
    }
  /** No octets can stand for it. */
  | { readonly ok: false; readonly why: string };

export function sendable(type: ValueType, entry: Entry): Sendable {
  const physical = physicalOf(type, entry);
  if (!physical.ok) return { ok: false, why: refusalText(physical.refusal) };
  const allowed = toCoded(type, physical.value);
  if (allowed.ok) return sent(type, allowed.value.coded, undefined, allowed.value.error);
  const wide = unbounded(type);
  const coded = codedAnyway(wide, physical.value);
  if (coded === undefined) return { ok: false, why: refusalText(allowed.refusal) };
  return sent(wide, coded.coded, allowed.refusal, coded.error);
}

/** The coding of a value that the contract forbids, where there is one. */
function codedAnyway(
  type: ValueType,
  physical: Physical,
): { readonly coded: Coded; readonly error: Rational } | undefined {
  // A code without a name is refused by the board, not by us.
  if (physical.kind === 'choice') return { coded: { kind: 'integer', value: physical.code }, error: zero };
  const coded = toCoded(type, physical);
  return coded.ok ? coded.value : undefined;
}

function sent(type: ValueType, coded: Coded, refusal: Refusal | undefined, error: Rational): Sendable {
  const bytes = encode(type, coded);
  if (!bytes.ok) return { ok: false, why: refusalText(bytes.refusal) };
  return { ok: true, bytes: bytes.value, refusal: refusal === undefined ? undefined : refusalText(refusal), error };
}
