/**
 * Tells each item whose key an earlier one has, together with the first that has it.
 *
 * @param key `undefined` for items that are not compared
 */
export function eachRepeat<T>(
  items: readonly T[],
  key: (item: T) => string | undefined,
  tell: (item: T, first: T) => void,
): void {
  const seen = new Map<string, T>();
  for (const item of items) {
    const own = key(item);
    if (own === undefined) continue;
    const first = seen.get(own);
    if (first === undefined) seen.set(own, item);
    else tell(item, first);
  }
}
