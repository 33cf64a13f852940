/** An uncertain quantity: least, likely, most; in that order. Any unit, never negative. */
export type Span = { readonly low: number; readonly likely: number; readonly high: number };

export function exactly(value: number): Span {
  return { low: value, likely: value, high: value };
}
