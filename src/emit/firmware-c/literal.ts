/** An integer type of C99 with its width. */
export type CInteger = { readonly signed: boolean; readonly bits: 8 | 16 | 32 | 64 };

/** The smallest that holds so many bits, at most 64. */
export function smallest(bits: number, signed: boolean): CInteger {
  return { signed, bits: bits <= 8 ? 8 : bits <= 16 ? 16 : bits <= 32 ? 32 : 64 };
}

/** The smallest that holds both; `undefined` when 64 bits do not. */
export function smallestFor(least: bigint, greatest: bigint): CInteger | undefined {
  for (const bits of [8, 16, 32, 64] as const) {
    for (const signed of [false, true]) {
      const low = signed ? -(1n << BigInt(bits - 1)) : 0n;
      const high = signed ? (1n << BigInt(bits - 1)) - 1n : (1n << BigInt(bits)) - 1n;
      if (least >= low && greatest <= high) return { signed, bits };
    }
  }
  return undefined;
}

/** `uint16_t`. */
export function cType({ signed, bits }: CInteger): string {
  return `${signed ? '' : 'u'}int${bits}_t`;
}

/**
 * The number as a constant of that type, or of the type it is promoted to. The least number of a width has no literal of
 * its own in C: it is written as a sum.
 */
export function literal(value: bigint, type: CInteger): string {
  const macro = `${type.signed ? '' : 'U'}INT${type.bits}_C`;
  if (type.signed && type.bits >= 32 && value === -(1n << BigInt(type.bits - 1))) {
    return `(-${macro}(${-(value + 1n)}) - 1)`;
  }
  return value < 0n ? `(-${macro}(${-value}))` : `${macro}(${value})`;
}
