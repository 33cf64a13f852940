import { concat, u16le, type Bytes } from '../../base/bytes.ts';
import { bug } from '../../base/bug.ts';
import type { Random } from '../../base/random.ts';
import { defaultMtu } from '../../att/pdu.ts';
import { attError } from '../../numbers/att-errors.ts';
import { isCommand, opcode, opcodeEntry, opcodeLabel, opcodes } from '../../numbers/att-opcodes.ts';
import type { Row, Table, ValueDefinition } from '../../table/model.ts';
import { checkValue } from '../../values/check.ts';
import { refusalText } from '../../values/refusal.ts';
import type { Case } from '../case.ts';
import { quiet, type Client } from '../client.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import { onTheWay } from '../pace.ts';
import { allowedSamples, otherThan } from '../samples.ts';
import { needOf } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { answerWords, count, hexWords, slug, valueWords } from '../words.ts';
import { parseError, readRequest, writeCommand, writeRequest } from '../wire.ts';

const packetsToRest = 100;

/** Does the board stand packets that break the protocol. */
export function malformedCases(table: Table, fuzzed = 200): readonly Case[] {
  const row = table.rows[0];
  bug(row !== undefined, 'a table has rows');
  const writable = table.values.find(
    (value) => value.access.includes('write') && needOf(value) === 'open' && value.maxLength <= defaultMtu - 15,
  );
  return makeCases('malformed', [
    ...requestShapes.map((shape) => shortDraft(row, shape)),
    ...requestShapes.filter(({ longest }) => longest !== undefined).map((shape) => longDraft(row, shape)),
    ...strayDrafts(row),
    ...when(writable !== undefined, ...(writable === undefined ? [] : writeDrafts(writable))),
    {
      subject: 'table',
      kind: 'fuzz',
      about: `After ${fuzzed} packets of random octets the board still answers right.`,
      place: row.at,
      requires: ['raw-pdu'],
      run: (trial) => standsFuzz(trial, fuzzed),
    },
  ]);
}

/** Lengths of the requests, octets with the opcode. Core Vol 3 Part F 3.4. */
type Shape = {
  readonly code: number;
  readonly shortest: number;
  /** `undefined` where only the MTU bounds it. */
  readonly longest: number | undefined;
  /** Lengths between the two that are none: 16-bit and 128-bit UUIDs have nothing between them. */
  readonly between?: readonly number[];
};

const requestShapes: readonly Shape[] = [
  { code: opcode.exchangeMtuRequest, shortest: 3, longest: 3 },
  { code: opcode.findInformationRequest, shortest: 5, longest: 5 },
  { code: opcode.findByTypeValueRequest, shortest: 7, longest: undefined },
  { code: opcode.readByTypeRequest, shortest: 7, longest: 21, between: [8, 9, 20] },
  { code: opcode.readRequest, shortest: 3, longest: 3 },
  { code: opcode.readBlobRequest, shortest: 5, longest: 5 },
  { code: opcode.readMultipleRequest, shortest: 5, longest: undefined, between: [6] },
  { code: opcode.readByGroupTypeRequest, shortest: 7, longest: 21, between: [8, 9, 20] },
  { code: opcode.writeRequest, shortest: 3, longest: undefined },
  { code: opcode.prepareWriteRequest, shortest: 5, longest: undefined },
  { code: opcode.executeWriteRequest, shortest: 2, longest: 2 },
  { code: opcode.readMultipleVariableRequest, shortest: 5, longest: undefined, between: [6] },
];

/** A request of this length whose handles name something: only its length is wrong. */
function ofLength({ code }: Shape, length: number): Bytes {
  const body = concat(u16le(1), u16le(1), u16le(0x2800), new Uint8Array(32));
  return concat([code], body).subarray(0, length);
}

function shortDraft(row: Row, shape: Shape): Draft {
  const label = opcodeLabel(shape.code);
  return {
    subject: slug(label),
    kind: 'short',
    about: `A ${label} that ends too early is refused, and the board goes on.`,
    place: row.at,
    requires: ['raw-pdu'],
    run: async (trial) => {
      const client = await trial.connect();
      for (let length = 1; length < shape.shortest; length++) {
        await mustRefuseLength(client, ofLength(shape, length), label);
      }
      for (const length of shape.between ?? []) await mustRefuseLength(client, ofLength(shape, length), label);
      await mustBeAlive(trial, client, row);
    },
  };
}

function longDraft(row: Row, shape: Shape): Draft {
  const label = opcodeLabel(shape.code);
  return {
    subject: slug(label),
    kind: 'long',
    about: `A ${label} with octets too many is refused, and the board goes on.`,
    place: row.at,
    requires: ['raw-pdu'],
    run: async (trial) => {
      const client = await trial.connect();
      const longest = shape.longest ?? defaultMtu;
      for (const length of [longest + 1, defaultMtu]) {
        if (length <= longest) continue;
        await mustRefuseLength(client, ofLength(shape, length), label);
      }
      await mustBeAlive(trial, client, row);
    },
  };
}

function mustRefuseLength(client: Client, pdu: Bytes, label: string): Promise<void> {
  return client.mustRefuse(pdu, 0, attError.invalidPdu, `a ${label} of ${count(pdu.length, 'octet')}`);
}

async function mustBeAlive(trial: Trial, client: Client, row: Row): Promise<void> {
  const answer = await client.mustAnswer(readRequest(row.handle), 'the next request');
  trial.observe(answer[0] === opcode.readResponse, 'the next request is answered as usual', answerWords(answer));
}

function strayDrafts(row: Row): readonly Draft[] {
  const draft = (kind: string, about: string, run: (trial: Trial, client: Client) => Promise<void>): Draft => ({
    subject: 'table',
    kind,
    about,
    place: row.at,
    requires: ['raw-pdu'],
    run: async (trial) => {
      const client = await trial.connect();
      await run(trial, client);
      await mustBeAlive(trial, client, row);
    },
  });
  const fromServers = opcodes.filter(
    ({ kind }) => kind === 'response' || kind === 'notification' || kind === 'indication',
  );
  return [
    draft('unknown-request', 'A request that no standard knows is refused by its name.', async (_, client) => {
      for (const code of [0x14, 0x1a, 0x2a, 0x3f]) {
        const pdu = Uint8Array.of(code, 1, 0);
        await client.mustRefuse(pdu, 0, attError.requestNotSupported, `the unknown request ${hexWords(pdu)}`);
      }
    }),
    draft('unknown-command', 'A command that no standard knows is not answered.', async (_, client) => {
      for (const code of [0x40, 0x53, 0x7f, 0xc1]) {
        const pdu = Uint8Array.of(code, 1, 0);
        await client.mustIgnore(pdu, `the unknown command ${hexWords(pdu)}`);
      }
    }),
    draft('stray-responses', 'What only a server sends is not answered when a client sends it.', async (_, client) => {
      for (const { code, label } of fromServers) {
        await client.mustIgnore(Uint8Array.of(code, 1, 0, 1, 0), `a ${label} from a client`);
      }
    }),
    draft('stray-confirmation', 'A confirmation of nothing is not answered.', async (_, client) => {
      await client.mustIgnore(Uint8Array.of(opcode.handleValueConfirmation), 'a confirmation of nothing');
    }),
    draft('short-command', 'A command that ends too early is not answered.', async (_, client) => {
      await client.mustIgnore(Uint8Array.of(opcode.writeCommand, 1), 'a Write Command of two octets');
    }),
    draft('execute-flag', 'An Execute Write Request that neither writes nor cancels is refused.', async (_, client) => {
      const pdu = Uint8Array.of(opcode.executeWriteRequest, 2);
      await client.mustRefuse(pdu, 0, attError.invalidPdu, 'the flag 2');
    }),
  ];
}

function writeDrafts(value: ValueDefinition): readonly Draft[] {
  const base = { subject: value.id, place: value.at };
  const visible = value.access.includes('read') ? [] : (['console'] as const);
  return [
    {
      ...base,
      kind: 'signed-write',
      about: `A signed write of ${value.label} with a signature of nobody is not answered and changes nothing.`,
      requires: ['raw-pdu', ...visible],
      run: async (trial) => {
        const { client, before, octets, mark } = await begin(trial, value);
        const pdu = concat([opcode.signedWriteCommand], u16le(value.handle), octets, new Uint8Array(12));
        await client.mustIgnore(pdu, 'a signed write');
        await trial.mustBeUnchanged(client, value, before, mark);
      },
    },
    {
      ...base,
      kind: 'over-mtu',
      about: `A write of ${value.label} longer than the MTU does not change it.`,
      requires: ['raw-pdu', ...visible],
      run: async (trial) => {
        const { client, before, octets, mark } = await begin(trial, value);
        const padded = concat(octets, new Uint8Array(defaultMtu - 2 - octets.length));
        const answer = await client.exchange(writeRequest(value.handle, padded), quiet);
        const right = answer === undefined || parseError(answer) !== undefined;
        trial.observe(right, 'no answer, or a refusal', answerWords(answer));
        await trial.mustBeUnchanged(client, value, before, mark);
      },
    },
    ...when(!value.access.includes('write-without-response'), {
      ...base,
      kind: 'command-then-request',
      about: `After a write without response that is not allowed, ${value.label} can be written as ever.`,
      requires: ['raw-pdu', ...visible],
      run: async (trial) => {
        const { client, before, octets, mark } = await begin(trial, value);
        await client.mustIgnore(writeCommand(value.handle, octets), 'a write without response');
        await trial.mustBeUnchanged(client, value, before, mark);
        await trial.write(client, value, octets);
        await trial.mustHold(client, value, octets, mark);
      },
    }),
  ];
}

async function begin(
  trial: Trial,
  value: ValueDefinition,
): Promise<{ client: Client; before: Bytes; octets: Bytes; mark: number }> {
  const client = await trial.connect();
  const before = allowedSamples(value.type)[0]?.bytes ?? value.start;
  const octets = otherThan(value.type, before) ?? before;
  await trial.hold(client, value, before);
  return { client, before, octets, mark: trial.mark() };
}

async function standsFuzz(trial: Trial, packets: number): Promise<void> {
  const { table, random } = trial;
  for (const value of table.values) await trial.touch(value);
  let client = await trial.connect();
  for (let i = 0; i < packets && !trial.over; i++) {
    if (i % packetsToRest === 0 && !(await trial.rest())) return;
    // A board may end the link of a client that talks nonsense; it must take the next one.
    if (!client.isOpen) client = await trial.connect();
    const pdu = randomPdu(random, table);
    const answer = await client.exchange(pdu, isRequest(pdu) ? undefined : onTheWay(trial));
    mustFitRequest(trial, pdu, answer, client);
  }
  await trial.leave(client);
  const fresh = await trial.connect();
  for (const value of table.values) await mustBeSane(trial, fresh, value);
  await restoreLabels(table, fresh);
}

/** Octets at random, or a request with a real handle and the rest at random. */
function randomPdu(random: Random, table: Table): Bytes {
  const rest = Uint8Array.from({ length: random.int(defaultMtu) }, () => random.int(256));
  if (random.int(3) === 0) return concat([random.int(256)], rest.subarray(0, defaultMtu - 1));
  const shape = requestShapes[random.int(requestShapes.length)];
  const row = table.rows[random.int(table.rows.length)];
  return concat([shape?.code ?? 0], u16le(row?.handle ?? 0), rest).subarray(0, defaultMtu);
}

/** Claims of any answer at all: a request gets one that belongs to it, anything else gets none, and it fits the MTU. */
function mustFitRequest(trial: Trial, pdu: Bytes, answer: Bytes | undefined, client: Client): void {
  const code = pdu[0] ?? 0;
  const wordsOf = `${hexWords(pdu)}: ${answerWords(answer)}`;
  if (!isRequest(pdu)) {
    trial.claim(answer === undefined, 'what is no request is not answered', wordsOf);
    return;
  }
  const fits = answer !== undefined && answer.length <= Math.max(client.mtu, defaultMtu);
  const belongs = answer?.[0] === code + 1 || (answer !== undefined && parseError(answer)?.request === code);
  trial.claim(fits && belongs, 'each request gets an answer of its own kind', wordsOf);
}

/** What has to be answered, be it known or not. */
function isRequest(pdu: Bytes): boolean {
  const code = pdu[0] ?? 0;
  return (opcodeEntry(code)?.kind ?? (isCommand(code) ? 'command' : 'request')) === 'request';
}

async function mustBeSane(trial: Trial, client: Client, value: ValueDefinition): Promise<void> {
  const truth = await trial.truthOf(value);
  if (truth !== undefined) {
    const refusal = checkValue(value.type, truth);
    const seen = refusal === undefined ? undefined : `${valueWords(value.type, truth)}: ${refusalText(refusal)}`;
    trial.claim(refusal === undefined, 'every value the board holds is one the contract allows', seen);
  }
  if (!value.access.includes('read') || value.needs.read !== 'open') return;
  const mark = trial.mark();
  const read = await trial.read(client, value);
  const right = truth === undefined || (trial.truth?.held(value.id, read, mark, truth) ?? false);
  const seen = `\`${value.id}\` reads ${valueWords(value.type, read)}`;
  trial.claim(right, 'every value reads as the board holds it', seen);
}

/** Random octets may have become a label that clients can write. */
async function restoreLabels(table: Table, client: Client): Promise<void> {
  for (const { handle, type, content } of table.rows) {
    if (content.kind === 'description') await client.write({ kind: 'descriptor', uuid: type, handle }, content.bytes);
  }
}
