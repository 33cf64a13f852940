const places: ReadonlySet<string> = new Set(['at', 'where']);

/**
 * Whether two pieces of a table say the same, wherever in the text they stand: places (`at`, `where`) are left out.
 */
export function sameData(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false;
  if (a instanceof Uint8Array || Array.isArray(a)) {
    const [left, right] = [a as ArrayLike<unknown>, b as ArrayLike<unknown>];
    if (a.constructor !== b.constructor || left.length !== right.length) return false;
    for (let i = 0; i < left.length; i++) if (!sameData(left[i], right[i])) return false;
    return true;
  }
  const left = Object.entries(a);
  const right = b as Record<string, unknown>;
  if (left.length !== Object.keys(right).length) return false;
  return left.every(([key, value]) => Object.hasOwn(right, key) && (places.has(key) || sameData(value, right[key])));
}
