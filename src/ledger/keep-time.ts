import { us } from '../base/quantity.ts';
import type { Cancel, Clock } from '../base/clock.ts';
import type { ConsolePort } from '../att/link.ts';

/** At first often, so that the offset is known soon; then seldom, so that drift is. */
const begin = [0, 100_000, 300_000, 700_000, 1_500_000] as const;
const every = 5_000_000;

/**
 * Asks the board for its time again and again, so that the ledger can lay its clock on the host's. Boards answer at once
 * and hold nothing else up.
 *
 * @returns how to stop
 */
export function keepTime(console: ConsolePort, clock: Clock): Cancel {
  const start = clock.now();
  let cancel: Cancel = () => undefined;
  const ask = (turn: number): void => {
    const next = begin[turn] ?? (begin.at(-1) ?? 0) + (turn - begin.length + 1) * every;
    cancel = clock.schedule(us(start + next), () => {
      console.send('time');
      ask(turn + 1);
    });
  };
  ask(0);
  return () => {
    cancel();
  };
}
