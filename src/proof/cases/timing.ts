import { us } from '../../base/quantity.ts';
import { opcodeEntry } from '../../numbers/att-opcodes.ts';
import type { Table } from '../../table/model.ts';
import type { Case } from '../case.ts';
import type { Client } from '../client.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import { needOf } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { count, timeWords } from '../words.ts';

/** Transaction time, Core Vol 3 Part F 3.3.3: a request that is answered later is not answered. */
const transactionTime = us(30_000_000);

/** Does every answer come in time, also while values stream. */
export function timingCases(table: Table): readonly Case[] {
  const place = table.radio.connection.where.self;
  const open = table.values.filter((value) => needOf(value) === 'open');
  const readable = open.filter((value) => value.access.includes('read'));
  const told = open.filter((value) => value.cccd !== undefined);
  const drafts: readonly Draft[] = [
    {
      subject: 'board',
      kind: 'answers',
      about: 'Every request of a discovery and of a read of every value is answered within 30 s.',
      place,
      requires: ['raw-pdu'],
      run: async (trial) => {
        const client = await trial.connect();
        await client.mustDiscover();
        for (const value of readable) await trial.read(client, value);
        mustBeInTime(trial, client);
      },
    },
    ...when(told.length > 0 && readable.length > 0, {
      subject: 'board',
      kind: 'answers-while-streaming',
      about: 'Requests are answered while every value that can be subscribed to is on its way.',
      place,
      requires: ['raw-pdu'],
      run: async (trial) => {
        const client = await trial.connect();
        for (const value of told)
          await client.mustSubscribe(value, value.access.includes('notify') ? 'notify' : 'indicate');
        for (let i = 0; i < 20; i++) {
          const value = readable[i % readable.length];
          if (value !== undefined) await trial.read(client, value);
          await trial.pass(us(50_000));
        }
        mustBeInTime(trial, client);
      },
    }),
  ];
  return makeCases('timing', drafts);
}

/** Looks at everything that crossed: the longest time from a request to its answer. */
function mustBeInTime(trial: Trial, client: Client): void {
  let asked: number | undefined;
  let slowest = 0;
  let answers = 0;
  for (const { at, from, pdu } of client.connection?.transcript ?? []) {
    const kind = opcodeEntry(pdu[0] ?? 0)?.kind;
    if (from === 'central' && kind === 'request') asked = at;
    if (from !== 'board' || kind !== 'response' || asked === undefined) continue;
    slowest = Math.max(slowest, at - asked);
    answers += 1;
    asked = undefined;
  }
  trial.claim(
    asked === undefined,
    'every request is answered',
    asked === undefined ? undefined : 'the last one is not',
  );
  const seen = `${count(answers, 'answer')}, the slowest after ${timeWords(slowest)}`;
  trial.observe(slowest <= transactionTime, `each answer within ${timeWords(transactionTime)}`, seen);
}
