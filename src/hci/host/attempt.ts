/** What came of something asked of the radio; `about` is a sentence part. */
export type Attempt<T> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly timeout: boolean; readonly about: string };

export function won<T>(value: T): Attempt<T> {
  return { ok: true, value };
}

export function lost(
  about: string,
  timeout = false,
): { readonly ok: false; readonly timeout: boolean; readonly about: string } {
  return { ok: false, timeout, about };
}
