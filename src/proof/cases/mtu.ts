import { bug } from '../../base/bug.ts';
import { readU16le } from '../../base/bytes.ts';
import { defaultMtu, largestMtu } from '../../att/pdu.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { Row, Table } from '../../table/model.ts';
import type { Case } from '../case.ts';
import type { Client } from '../client.ts';
import { makeCases, type Draft } from '../make-case.ts';
import type { Reach } from '../../att/link.ts';
import type { Trial } from '../trial.ts';
import { answerWords, count, handleWords } from '../words.ts';
import { mtuRequest, parseError, readRequest } from '../wire.ts';

/** Does the packet size follow what was agreed, on each connection by itself. */
export function mtuCases(table: Table): readonly Case[] {
  const place = table.radio.connection.where.self;
  const wished = table.radio.connection.mtu;
  const probe = longestReadable(table);
  const draft = (
    kind: string,
    about: string,
    run: (trial: Trial, client: Client) => Promise<void>,
    more: readonly Reach[] = [],
  ): Draft => ({
    subject: 'board',
    kind,
    about,
    place,
    requires: ['raw-pdu', 'mtu', ...more],
    run: async (trial) => {
      await run(trial, await trial.connect());
    },
  });
  return makeCases('mtu', [
    draft('default', `A fresh connection has the MTU ${defaultMtu}.`, (trial, client) =>
      mustFill(trial, client, probe, defaultMtu),
    ),
    draft('wished', `The board agrees on the contract's MTU of ${wished}, and uses it.`, async (trial, client) => {
      const agreed = await client.mustExchangeMtu(wished);
      trial.claim(agreed === wished, `an MTU of ${wished}`, String(agreed));
      await mustFill(trial, client, probe, wished);
    }),
    draft(
      'larger',
      `Asked for ${largestMtu}, the board agrees on no less than the contract's MTU.`,
      async (trial, client) => {
        const agreed = await client.mustExchangeMtu(largestMtu);
        trial.claim(agreed >= wished && agreed <= largestMtu, `an MTU of ${wished} to ${largestMtu}`, String(agreed));
        await mustFill(trial, client, probe, agreed);
      },
    ),
    draft('smaller', `Asked for less than ${defaultMtu}, the MTU stays ${defaultMtu}.`, async (trial, client) => {
      const answer = await client.mustAnswer(mtuRequest(5), 'an exchange of the MTU');
      const offered = answer[0] === opcode.exchangeMtuResponse ? (readU16le(answer, 1) ?? 0) : 0;
      trial.claim(offered >= defaultMtu, `the board's own MTU, at least ${defaultMtu}`, answerWords(answer));
      await mustFill(trial, client, probe, defaultMtu);
    }),
    draft('twice', 'A second exchange of the MTU changes nothing.', async (trial, client) => {
      const agreed = await client.mustExchangeMtu(wished);
      const answer = await client.mustAnswer(mtuRequest(defaultMtu), 'a second exchange of the MTU');
      const refused = parseError(answer)?.code === attError.requestNotSupported;
      const right = refused || answer[0] === opcode.exchangeMtuResponse;
      trial.claim(right, 'a refusal, or the same answer again', answerWords(answer));
      await mustFill(trial, client, probe, agreed);
    }),
    draft('again', `After connecting again the MTU is ${defaultMtu}.`, async (trial, client) => {
      await client.mustExchangeMtu(wished);
      await trial.leave(client);
      await mustFill(trial, await trial.connect(), probe, defaultMtu);
    }),
    draft(
      'apart',
      'The MTU of one client is not the MTU of another.',
      async (trial, client) => {
        const other = await trial.connect({ identity: 'second' });
        await client.mustExchangeMtu(wished);
        await mustFill(trial, other, probe, defaultMtu);
        await mustFill(trial, client, probe, wished);
      },
      ['second-client'],
    ),
  ]);
}

type Probe = { readonly row: Row; readonly length: number };

/** The attribute whose reading fills a packet best. */
function longestReadable(table: Table): Probe {
  const probes = table.rows.flatMap((row): Probe[] =>
    row.content.kind === 'constant' && row.permissions.read === 'open'
      ? [{ row, length: row.content.bytes.length }]
      : [],
  );
  const first = probes[0];
  bug(first !== undefined, 'a table has declarations that can be read');
  return probes.reduce((best, probe) => (probe.length > best.length ? probe : best), first);
}

/** Claims that a response is as long as the MTU allows and no longer. */
async function mustFill(trial: Trial, client: Client, { row, length }: Probe, mtu: number): Promise<void> {
  const answer = await client.mustAnswer(readRequest(row.handle), `a read of ${handleWords(row.handle)}`);
  const due = Math.min(length, mtu - 1);
  const right = answer[0] === opcode.readResponse && answer.length === due + 1;
  const expected = `${count(due, 'octet')} of the ${length} of ${row.about} at an MTU of ${mtu}`;
  trial.claim(right, expected, right ? undefined : answerWords(answer));
}
