import { us, type Microseconds } from '../base/quantity.ts';
import { roundHalfEven } from '../base/rational.ts';
import { parseTime } from '../contract/shapes/quantities.ts';
import { CannotRun } from './cannot-run.ts';

/** A time that a person typed, `10 s`, rounded to whole microseconds; `undefined` for what is no time. */
export function typedTime(text: string): Microseconds | undefined {
  const time = parseTime(text.trim());
  return time === undefined ? undefined : us(Number(roundHalfEven(time)));
}

/**
 * The time that an option gives.
 *
 * @param name the option's, without its hyphens
 * @throws CannotRun when the text is no time
 */
export function timeOption(name: string, text: string): Microseconds {
  const time = typedTime(text);
  if (time !== undefined) return time;
  throw new CannotRun(
    `--${name} is \`${text}\`, which is no time`,
    `write a number and ms, s, min or h: \`--${name} "10 s"\``,
  );
}
