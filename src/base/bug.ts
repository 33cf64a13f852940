/**
 * Marks a condition that only a mistake of ours can break. Bad input is never reported this way: it is a finding, an
 * ATT error or a verdict.
 *
 * @throws Error with `text` when `condition` is false
 */
export function bug(condition: boolean, text: string): asserts condition {
  if (!condition) throw new Error(`bug in gattwright: ${text}`);
}

/** Ends a switch over a closed union: compiles only while every case is handled. */
export function unreachable(value: never): never {
  throw new Error(`bug in gattwright: unexpected case ${JSON.stringify(value)}`);
}
