import { us } from '../../base/quantity.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import type { Case } from '../case.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import { nudge, patience } from '../pace.ts';
import { steps } from '../samples.ts';
import { reachesFor } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { count } from '../words.ts';
import { confirmation } from '../wire.ts';
import { mustHaveBeenTrue } from './publication-runs.ts';
import { publicationDrafts } from './publications.ts';

/** Transaction time, Core Vol 3 Part F 3.3.3. */
const transactionTime = us(30_000_000);

/** Do indications arrive, one at a time, each confirmed before the next. */
export function indicationCases(table: Table): readonly Case[] {
  const indicated = table.values.filter((value) => value.access.includes('indicate'));
  return makeCases(
    'indications',
    indicated.flatMap((value) => [...publicationDrafts(table, value, 'indicate'), ...confirmationDrafts(value)]),
  );
}

function confirmationDrafts(value: ValueDefinition): readonly Draft[] {
  const { id: subject, label, at: place } = value;
  const requires = [...reachesFor(value), 'console', 'raw-pdu'] as const;
  return when(
    steps(value.type, 2) !== undefined,
    {
      subject,
      kind: 'one-at-a-time',
      about: `The next indication of ${label} waits until the one before is confirmed, and then carries the latest value.`,
      place,
      requires,
      run: (trial) => waitsForConfirmation(trial, value),
    },
    {
      subject,
      kind: 'unconfirmed',
      about: `When an indication of ${label} is not confirmed within 30 s, nothing more is sent on that connection.`,
      place,
      requires: [...requires, 'virtual-time'],
      run: (trial) => givesUp(trial, value),
    },
  );
}

async function waitsForConfirmation(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  client.connection?.confirmIndications(false);
  await client.mustSubscribe(value, 'indicate');
  const row = steps(value.type, 4) ?? [];
  await nudge(trial, client, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'an indication comes', 'nothing came');
  for (const octets of row) {
    await trial.set(value, octets);
    await trial.pass(patience(trial, value));
  }
  const early = client.valuesOf(value).length;
  trial.observe(early === 1, 'one indication before the confirmation', count(early, 'indication'));
  const before = await trial.truthOf(value);
  const mark = trial.mark();
  await client.exchange(confirmation, us(0));
  const next = await client.waitForValues(value, 2, patience(trial, value));
  trial.claim(next, 'the next one comes after the confirmation', 'nothing came');
  mustHaveBeenTrue(trial, client, value, client.valuesOf(value)[1], { mark, before });
  await client.exchange(confirmation, us(0));
}

async function givesUp(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  client.connection?.confirmIndications(false);
  await client.mustSubscribe(value, 'indicate');
  await nudge(trial, client, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'an indication comes', 'nothing came');
  await trial.pass(us(transactionTime + 1_000_000));
  const before = client.values.length;
  await nudge(trial, client, value);
  await trial.pass(patience(trial, value));
  const more = client.values.length - before;
  trial.observe(more === 0, 'nothing is sent after 30 s without confirmation', count(more, 'value'));
}
