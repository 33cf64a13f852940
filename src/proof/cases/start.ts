import { equalBytes } from '../../base/bytes.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import type { Case } from '../case.ts';
import { makeCases, type Draft } from '../make-case.ts';
import type { Trial } from '../trial.ts';
import { timeWords, valueWords } from '../words.ts';

/** A board that has been up for longer may have been used, milliseconds. */
const justPoweredUp = 5000;

/**
 * What the board holds at power-up. Only what clients write is asked: what a board measures is another value as soon as
 * it measures.
 */
export function startCases(table: Table): readonly Case[] {
  const drafts = table.values
    .filter(({ access }) => access.includes('write') || access.includes('write-without-response'))
    .map((value): Draft => ({
      subject: value.id,
      kind: 'start',
      about: `After power-up, before anybody has written it, ${value.label} is ${valueWords(value.type, value.start)}.`,
      place: value.at,
      requires: ['console'],
      asFound: true,
      run: (trial) => startsRight(trial, value),
    }));
  return makeCases('reads', drafts);
}

async function startsRight(trial: Trial, value: ValueDefinition): Promise<void> {
  const uptime = await trial.truth?.uptime();
  if (uptime === undefined || uptime > justPoweredUp) {
    const up = uptime === undefined ? 'its console does not say' : `it has been up for ${timeWords(uptime * 1000)}`;
    trial.claims.giveUp('not-reachable', 'a board that was powered up just before the proof', up);
    return;
  }
  const octets = await trial.truthOf(value);
  const right = octets !== undefined && equalBytes(octets, value.start);
  const seen = octets === undefined ? 'nothing' : valueWords(value.type, octets);
  trial.observe(right, valueWords(value.type, value.start), seen);
}
