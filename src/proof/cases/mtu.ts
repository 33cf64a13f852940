import { bug } from '../../base/bug.ts';
import { readU16le } from '../../base/bytes.ts';
import { defaultMtu } from '../../att/pdu.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { Handle, Table } from '../../table/model.ts';
import type { Case } from '../case.ts';
import type { Client } from '../client.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import type { Reach } from '../../att/link.ts';
import { longestOf } from '../samples.ts';
import { needOf } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { answerWords, count, handleWords } from '../words.ts';
import { largestMtu, mtuRequest, parseError, readRequest } from '../wire.ts';

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
    requires: ['raw-pdu', 'mtu', ...probe.requires, ...more],
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
      trial.observe(agreed === wished, `an MTU of ${wished}`, String(agreed));
      await mustFill(trial, client, probe, wished);
    }),
    draft(
      'larger',
      `Asked for ${largestMtu}, the board agrees on no less than the contract's MTU.`,
      async (trial, client) => {
        const agreed = await client.mustExchangeMtu(largestMtu);
        trial.observe(agreed >= wished && agreed <= largestMtu, `an MTU of ${wished} to ${largestMtu}`, String(agreed));
        await mustFill(trial, client, probe, agreed);
      },
    ),
    ...when(
      wished > defaultMtu + 1,
      draft(
        'of-the-client',
        "Where the client's MTU is the smaller one, the board keeps to it.",
        async (trial, client) => {
          const asked = Math.floor((defaultMtu + wished) / 2);
          const agreed = await client.mustExchangeMtu(asked);
          trial.observe(agreed === asked, `an MTU of ${asked}`, String(agreed));
          await mustFill(trial, client, probe, asked);
        },
      ),
    ),
    draft('smaller', `Asked for less than ${defaultMtu}, the MTU stays ${defaultMtu}.`, async (trial, client) => {
      const answer = await client.mustAnswer(mtuRequest(5), 'an exchange of the MTU');
      const offered = answer[0] === opcode.exchangeMtuResponse ? (readU16le(answer, 1) ?? 0) : 0;
      trial.observe(offered >= defaultMtu, `the board's own MTU, at least ${defaultMtu}`, answerWords(answer));
      await mustFill(trial, client, probe, defaultMtu);
    }),
    draft('twice', 'A second exchange of the MTU changes nothing.', async (trial, client) => {
      const agreed = await client.mustExchangeMtu(wished);
      const answer = await client.mustAnswer(mtuRequest(defaultMtu), 'a second exchange of the MTU');
      const refused = parseError(answer)?.code === attError.requestNotSupported;
      const right = refused || answer[0] === opcode.exchangeMtuResponse;
      trial.observe(right, 'a refusal, or the same answer again', answerWords(answer));
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

/** An attribute that fills a packet when it is read. */
type Probe = {
  readonly handle: Handle;
  readonly about: string;
  readonly requires: readonly Reach[];
  /** Brings it to its full length; gives that length, octets. */
  fill(trial: Trial, client: Client): Promise<number>;
};

/** The longest value that anybody may read; else the longest constant. */
function longestReadable(table: Table): Probe {
  const values = table.values.filter((value) => value.access.includes('read') && needOf(value) === 'open');
  const longest = longestBy(values, (value) => value.maxLength);
  const constants = table.rows.flatMap((row) =>
    row.content.kind === 'constant' && row.permissions.read === 'open' ? [{ ...row, bytes: row.content.bytes }] : [],
  );
  const constant = longestBy(constants, ({ bytes }) => bytes.length);
  if (longest !== undefined && longest.maxLength > (constant?.bytes.length ?? 0)) {
    const octets = longestOf(longest.type);
    return {
      handle: longest.handle,
      about: longest.label,
      requires: longest.access.includes('write') ? [] : ['console'],
      fill: async (trial, client) => {
        await trial.hold(client, longest, octets);
        return octets.length;
      },
    };
  }
  bug(constant !== undefined, 'a table has declarations that can be read');
  const { handle, about, bytes } = constant;
  return { handle, about, requires: [], fill: () => Promise.resolve(bytes.length) };
}

function longestBy<T>(list: readonly T[], length: (one: T) => number): T | undefined {
  return list.reduce<T | undefined>(
    (best, one) => (best === undefined || length(one) > length(best) ? one : best),
    undefined,
  );
}

/** Claims that a response is as long as the MTU allows and no longer. */
async function mustFill(trial: Trial, client: Client, probe: Probe, mtu: number): Promise<void> {
  const length = await probe.fill(trial, client);
  const answer = await client.mustAnswer(readRequest(probe.handle), `a read of ${handleWords(probe.handle)}`);
  const due = Math.min(length, mtu - 1);
  const right = answer[0] === opcode.readResponse && answer.length === due + 1;
  const expected = `${count(due, 'octet')} of the ${length} of ${probe.about} at an MTU of ${mtu}`;
  trial.claim(right, expected, answerWords(answer));
}
