import { us, type Microseconds } from '../base/quantity.ts';
import type { ValueDefinition } from '../table/model.ts';
import type { Client } from './client.ts';
import { otherThan } from './samples.ts';
import { slackOf, type Trial } from './trial.ts';

/** How fast a value may come, and how to make it come. */

/** Beyond this spacing cases make do with fewer values. */
export const slow = us(5_000_000);

/** How long a value may be on its way: the contract's rate or period, two connection events, and a little. */
export function patience(trial: Trial, value: ValueDefinition): Microseconds {
  return us(spacingOf(value) + onTheWay(trial));
}

/** How long a PDU may be on its way and back. */
export function onTheWay(trial: Trial): Microseconds {
  const { interval, latency } = trial.table.radio.connection;
  return us(2 * interval.max * (latency + 1) + slackOf(trial.link));
}

/** Lets what is on its way arrive: none of the values that came may be missing from the account. */
export async function settle(trial: Trial, value: ValueDefinition): Promise<void> {
  await trial.pass(patience(trial, value));
}

export function periodOf(value: ValueDefinition): Microseconds {
  return value.notify?.on.kind === 'every' ? value.notify.on.period : us(0);
}

/** The shortest time between two values that the contract allows. */
export function spacingOf(value: ValueDefinition): Microseconds {
  return us(Math.max(value.notify?.minSpacing ?? 0, periodOf(value)));
}

/**
 * Makes the value change, so that there is something to tell: by the console, else over the air. A value that comes by
 * period comes without.
 */
export async function nudge(trial: Trial, client: Client, value: ValueDefinition): Promise<void> {
  if (trial.truth !== undefined) {
    const now = await trial.truthOf(value);
    const other = now === undefined ? undefined : otherThan(value.type, now);
    if (other !== undefined) await trial.set(value, other);
    return;
  }
  if (!value.access.includes('write')) return;
  await trial.touch(value, client);
  const now = value.access.includes('read') ? await trial.read(client, value) : value.start;
  const other = otherThan(value.type, now);
  if (other !== undefined) await trial.write(client, value, other);
}
