/** Pieces of sentences that several lints share. */

/** `1 octet`, `2 octets`. */
export function count(n: number, noun: string): string {
  return `${n} ${noun}${n === 1 ? '' : 's'}`;
}

/** `a`, `a and b`, `a, b and c`; each in backticks. */
export function names(words: readonly string[]): string {
  const quoted = words.map((word) => `\`${word}\``);
  const last = quoted.pop() ?? '';
  return quoted.length === 0 ? last : `${quoted.join(', ')} and ${last}`;
}

/** `0x2A6E`. */
export function hex16(value: number): string {
  return `0x${value.toString(16).toUpperCase().padStart(4, '0')}`;
}
