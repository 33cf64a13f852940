import type { Refusal, Result } from './type.ts';

/** The negative half of a {@link Result}, whatever its value would have been. */
export type Refused = { readonly ok: false; readonly refusal: Refusal };

export function ok<T>(value: T): Result<T> {
  return { ok: true, value };
}

export function refuse(reason: Refusal['reason'], message: string): Refused {
  return { ok: false, refusal: { reason, message, path: '' } };
}

/** The refusal of a part as the refusal of the whole. `part` is a field's id or `[index]`. */
export function refusalWithin(part: string, refusal: Refusal): Refusal {
  const joint = refusal.path === '' || refusal.path.startsWith('[') ? '' : '.';
  return { ...refusal, path: part + joint + refusal.path };
}

export function refuseWithin(part: string, refused: Refused): Refused {
  return { ok: false, refusal: refusalWithin(part, refused.refusal) };
}

/** The message with the place in front: `` `gain`: 5 m is outside 0 to 4 m ``. */
export function refusalText(refusal: Refusal): string {
  return refusal.path === '' ? refusal.message : `\`${refusal.path}\`: ${refusal.message}`;
}

/** `1 octet`, `2 octets`. */
export function countOf(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}

/** Refuses a count outside `min` to `max`: `3 octets instead of 2`, `21 octets are outside 0 to 20 octets`. */
export function checkCount(count: number, min: number, max: number, noun: string): Refused | undefined {
  if (count >= min && count <= max) return undefined;
  return refuse(
    'length',
    min === max
      ? `${countOf(count, noun)} instead of ${min}`
      : `${countOf(count, noun)} ${count === 1 ? 'is' : 'are'} outside ${min} to ${countOf(max, noun)}`,
  );
}

/** What somebody typed, for a message: in backticks, and not more of it than a line holds. */
export function quoted(text: string): string {
  return `\`${text.length > longestQuote ? `${text.slice(0, longestQuote)}…` : text}\``;
}

const longestQuote = 60;
