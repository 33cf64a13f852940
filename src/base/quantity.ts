declare const unit: unique symbol;

/** A number that carries its unit in the type, so that milliseconds and microseconds cannot be mixed up. */
export type Quantity<U extends string> = number & { readonly [unit]: U };

/** Times are whole microseconds: 1.25 ms and 0.625 ms are exact, and a double holds 285 years of them. */
export type Microseconds = Quantity<'us'>;
export type Milliseconds = Quantity<'ms'>;

export const us = (value: number): Microseconds => value as Microseconds;
export const ms = (value: number): Milliseconds => value as Milliseconds;

/** Rounded to the nearest whole microsecond. */
export const toUs = (time: Milliseconds): Microseconds => us(Math.round(time * 1000));
/** May have a fraction. */
export const toMs = (time: Microseconds): Milliseconds => ms(time / 1000);
/** Whole milliseconds, rounded down: what a board's own millisecond counter shows. */
export const wholeMs = (time: Microseconds): Milliseconds => ms(Math.floor(time / 1000));

/** `30 ms`, `1.25 ms`, `4 s`, `150 µs`: the largest unit that needs no long fraction. */
export function showTime(time: Microseconds): string {
  if (time === 0) return '0 ms';
  if (time % 1_000_000 === 0 && Math.abs(time) >= 1_000_000) return `${time / 1_000_000} s`;
  if (Math.abs(time) >= 1000) return `${Number((time / 1000).toFixed(3))} ms`;
  return `${time} µs`;
}
