import { concat, equalBytes, noBytes, type Bytes } from '../../base/bytes.ts';
import type { Reach } from '../../att/link.ts';
import { defaultMtu, longestValue } from '../../att/pdu.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import { isFixedLength } from '../../values/codec.ts';
import type { Case } from '../case.ts';
import type { Client } from '../client.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import { refusedSamples } from '../refused-samples.ts';
import { allowedSamples, letters, longestOf, otherThan, pattern, steps } from '../samples.ts';
import { needOf, reachesFor } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { answerWords, count, errorWords, hexWords, valueWords } from '../words.ts';
import { executeWrite, executeWriteResponse, parseError, prepareWrite, readBlob, readBlobResponse } from '../wire.ts';

/** Octets of a value that one response carries at the smallest MTU. */
const readRoom = defaultMtu - 1;
/** Octets that one Prepare Write Request carries at the smallest MTU. */
const prepareRoom = defaultMtu - 5;
/** A board that queues more than this has no bound that a case could find. */
const longestQueue = 16_384;

/** Do values longer than one packet come and go whole: parts, offsets, prepared writes. */
export function longValueCases(table: Table): readonly Case[] {
  return makeCases('long-values', [
    ...table.values.flatMap(readDrafts),
    ...table.values.flatMap(writeDrafts),
    ...togetherDrafts(table),
  ]);
}

function readDrafts(value: ValueDefinition): readonly Draft[] {
  const { id: subject, label, at: place, type, access } = value;
  if (!access.includes('read')) return [];
  const writable = access.includes('write');
  const requires: readonly Reach[] = [...reachesFor(value), ...(writable ? [] : (['console'] as const))];
  const long = value.maxLength > readRoom;
  return [
    ...when(long, {
      subject,
      kind: 'whole',
      about: `${label} is read whole at every length around a packet's end.`,
      place,
      requires,
      run: (trial) => readsWhole(trial, value),
    }),
    ...when(long, {
      subject,
      kind: 'parts',
      about: `Each part of ${label} begins where it was asked for, and behind the end there is nothing.`,
      place,
      requires: [...requires, 'raw-pdu'],
      run: (trial) => readsParts(trial, value),
    }),
    ...when(!isFixedLength(type), {
      subject,
      kind: 'shorter',
      about: `After a long ${label} a shorter one has no old tail.`,
      place,
      requires,
      run: (trial) => leavesNoTail(trial, value),
    }),
  ];
}

function writeDrafts(value: ValueDefinition): readonly Draft[] {
  const { id: subject, label, at: place, type, access, maxLength } = value;
  if (!access.includes('write') || steps(type, 2) === undefined) return [];
  const visible: readonly Reach[] = access.includes('read') ? [] : ['console'];
  const requires: readonly Reach[] = [...reachesFor(value), ...visible, 'raw-pdu'];
  return [
    {
      subject,
      kind: 'prepared',
      about: `${label} can be written in parts; it changes only when the write is executed.`,
      place,
      requires,
      run: (trial) => takesParts(trial, value),
    },
    {
      subject,
      kind: 'cancelled',
      about: `Parts of ${label} that are cancelled change nothing, and nothing of them is left for the next write.`,
      place,
      requires,
      run: (trial) => dropsCancelled(trial, value),
    },
    {
      subject,
      kind: 'gap',
      about: `Parts of ${label} that leave a gap are refused, and nothing changes.`,
      place,
      requires,
      run: (trial) => refusesGap(trial, value),
    },
    ...when(maxLength < longestValue, {
      subject,
      kind: 'prepared-too-long',
      about: `Parts that make ${label} one octet too long are refused, and nothing changes.`,
      place,
      requires,
      run: (trial) => refusesTooLong(trial, value),
    }),
    {
      subject,
      kind: 'left-behind',
      about: `Parts of ${label} that a client prepared are gone when it connects again.`,
      place,
      requires,
      run: (trial) => forgetsParts(trial, value),
    },
    ...when(maxLength > prepareRoom, {
      subject,
      kind: 'queue',
      about: 'More parts than the board can keep are refused, and it goes on working.',
      place,
      requires,
      run: (trial) => boundsQueue(trial, value),
    }),
  ];
}

async function readsWhole(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  for (const octets of lengthsAround(value)) {
    await trial.hold(client, value, octets);
    const mark = trial.mark();
    const read = await trial.read(client, value);
    const right = equalBytes(read, octets) || (trial.truth?.held(value.id, read, mark, octets) ?? false);
    const expected = `${count(octets.length, 'octet')} read whole`;
    trial.claim(right, expected, `${count(read.length, 'octet')}: ${hexWords(read)}`);
  }
}

/** Values whose lengths lie around what one, two and three responses carry, and the longest. */
function lengthsAround(value: ValueDefinition): readonly Bytes[] {
  const { type, minLength: min, maxLength: max } = value;
  const lengths = [1, 2, 3].flatMap((n) => [n * readRoom - 1, n * readRoom, n * readRoom + 1]);
  const fitting = lengths.filter((length) => length >= min && length <= max);
  if (type.kind === 'text') {
    const whole = type.encoding === 'utf16' ? fitting.filter((length) => length % 2 === 0) : fitting;
    return [...whole.map((length) => letters(type, length)), longestOf(type)];
  }
  return type.kind === 'bytes' ? [...fitting.map(pattern), longestOf(type)] : [longestOf(type)];
}

async function readsParts(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  const octets = longestOf(value.type);
  await trial.hold(client, value, octets);
  const { length } = octets;
  const offsets = [0, 1, readRoom - 1, readRoom, readRoom + 1, length - 1, length].filter(
    (offset, i, all) => offset >= 0 && offset <= length && all.indexOf(offset) === i,
  );
  for (const offset of offsets) await readsPart(trial, client, value, octets, offset);
  // Behind the longest value there is never anything, whatever the board holds by now.
  const beyond = `reading from offset ${value.maxLength + 1}`;
  await client.mustRefuse(readBlob(value.handle, value.maxLength + 1), value.handle, attError.invalidOffset, beyond);
}

/** The board may change the value by itself between the console's word and the answer: then it is asked again. */
async function readsPart(
  trial: Trial,
  client: Client,
  value: ValueDefinition,
  octets: Bytes,
  offset: number,
): Promise<void> {
  const part = octets.subarray(offset, offset + readRoom);
  for (let i = 0; i < 8; i++) {
    if (i > 0) await trial.hold(client, value, octets);
    const mark = trial.mark();
    const answer = await client.mustAnswer(readBlob(value.handle, offset), `a read from offset ${offset}`);
    const moved = (trial.truth?.changes(value.id, mark).length ?? 0) > 0 || (await hasMoved(trial, value, octets));
    const right = equalBytes(answer, readBlobResponse(part));
    if (!right && moved) continue;
    const words = `from offset ${offset} of ${octets.length}: ${hexWords(part)}`;
    trial.claim(right, right ? 'each part begins where it was asked for' : words, answerWords(answer));
    return;
  }
  trial.claims.giveUp(
    'inconclusive',
    'a value that stands still while a part is read',
    'the board changes it each time',
  );
}

async function hasMoved(trial: Trial, value: ValueDefinition, octets: Bytes): Promise<boolean> {
  const now = await trial.truthOf(value);
  return now !== undefined && !equalBytes(now, octets);
}

async function leavesNoTail(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  const samples = allowedSamples(value.type).map(({ bytes }) => bytes);
  const byLength = [...samples].sort((a, b) => b.length - a.length);
  const longest = byLength[0];
  const shortest = byLength[byLength.length - 1];
  const middle = byLength.find((octets) => octets.length < (longest?.length ?? 0));
  for (const octets of [longest, middle, longest, shortest]) {
    if (octets === undefined) continue;
    const mark = trial.mark();
    if (value.access.includes('write')) await trial.write(client, value, octets);
    else await trial.set(value, octets);
    await trial.mustHold(client, value, octets, mark);
  }
}

/** Sends the value in parts and checks the echo of each. */
async function prepare(trial: Trial, client: Client, value: ValueDefinition, octets: Bytes): Promise<void> {
  const size = Math.max(1, Math.min(prepareRoom, Math.ceil(octets.length / 2)));
  for (let offset = 0; offset < octets.length || offset === 0; offset += size) {
    const request = prepareWrite(value.handle, offset, octets.subarray(offset, offset + size));
    const answer = await client.mustAnswer(request, 'a prepared part');
    // The response repeats the request, Core Vol 3 Part F 3.4.6.2.
    const echo = concat([opcode.prepareWriteResponse], request.subarray(1));
    const right = equalBytes(answer, echo);
    trial.claim(right, 'each part is repeated in the answer', answerWords(answer));
  }
}

type Prepared = {
  readonly client: Client;
  /** What the board holds. */
  readonly before: Bytes;
  /** What is to be written. */
  readonly octets: Bytes;
};

async function begin(trial: Trial, value: ValueDefinition): Promise<Prepared | undefined> {
  const client = await trial.connectFor(value);
  const octets = longestOf(value.type);
  const before = otherThan(value.type, octets);
  if (before === undefined) return undefined;
  await trial.hold(client, value, before);
  return { client, before, octets };
}

async function takesParts(trial: Trial, value: ValueDefinition): Promise<void> {
  const start = await begin(trial, value);
  if (start === undefined) return;
  const { client, before, octets } = start;
  const mark = trial.mark();
  await prepare(trial, client, value, octets);
  await trial.mustBeUnchanged(client, value, before, mark);
  await client.mustAnswerWith(executeWrite(true), executeWriteResponse, 'executing the write works');
  await trial.mustHold(client, value, octets, mark);
}

async function dropsCancelled(trial: Trial, value: ValueDefinition): Promise<void> {
  const start = await begin(trial, value);
  if (start === undefined) return;
  const { client, before, octets } = start;
  const mark = trial.mark();
  await prepare(trial, client, value, octets);
  await client.mustAnswerWith(executeWrite(false), executeWriteResponse, 'cancelling works');
  await trial.mustBeUnchanged(client, value, before, mark);
  await client.mustAnswerWith(executeWrite(true), executeWriteResponse, 'executing nothing works');
  await trial.mustBeUnchanged(client, value, before, mark);
}

async function refusesGap(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  const samples = allowedSamples(value.type).map(({ bytes }) => bytes);
  const before = samples.reduce((best, octets) => (octets.length < best.length ? octets : best));
  await trial.hold(client, value, before);
  const mark = trial.mark();
  const offset = before.length + 1;
  await client.mustAnswer(prepareWrite(value.handle, offset, Uint8Array.of(0x61)), 'a prepared part');
  const what = `a part at offset ${offset} of a value of ${count(before.length, 'octet')}`;
  await client.mustRefuse(executeWrite(true), value.handle, attError.invalidOffset, what);
  await trial.mustBeUnchanged(client, value, before, mark);
}

async function refusesTooLong(trial: Trial, value: ValueDefinition): Promise<void> {
  const start = await begin(trial, value);
  if (start === undefined) return;
  const { client, before } = start;
  const mark = trial.mark();
  const octets = new Uint8Array(value.maxLength + 1).fill(0x61);
  await prepare(trial, client, value, octets);
  const what = `${count(octets.length, 'octet')} where ${value.maxLength} are allowed`;
  await client.mustRefuse(executeWrite(true), value.handle, attError.invalidAttributeValueLength, what);
  await trial.mustBeUnchanged(client, value, before, mark);
}

async function forgetsParts(trial: Trial, value: ValueDefinition): Promise<void> {
  const start = await begin(trial, value);
  if (start === undefined) return;
  const { client, octets } = start;
  await prepare(trial, client, value, octets);
  await trial.leave(client);
  const again = await trial.connectFor(value);
  const before = (await trial.truthOf(value)) ?? (await trial.read(again, value));
  const mark = trial.mark();
  await again.mustAnswerWith(executeWrite(true), executeWriteResponse, 'executing nothing works');
  if (!equalBytes(before, octets)) await trial.mustBeUnchanged(again, value, before, mark);
}

async function boundsQueue(trial: Trial, value: ValueDefinition): Promise<void> {
  const start = await begin(trial, value);
  if (start === undefined) return;
  const { client, before, octets } = start;
  const mark = trial.mark();
  const part = octets.subarray(0, prepareRoom);
  let full: Bytes | undefined;
  for (let sent = 0; sent < longestQueue && full === undefined && !trial.over; sent += part.length) {
    const answer = await client.mustAnswer(prepareWrite(value.handle, 0, part), 'a prepared part');
    if (answer[0] !== opcode.prepareWriteResponse) full = answer;
  }
  const code = full === undefined ? undefined : parseError(full)?.code;
  const expected = `${errorWords(attError.prepareQueueFull)} at some time`;
  const seen = full === undefined ? `${longestQueue} octets taken` : answerWords(full);
  trial.observe(code === attError.prepareQueueFull, expected, seen);
  await client.mustAnswerWith(executeWrite(false), executeWriteResponse, 'cancelling works');
  await trial.mustBeUnchanged(client, value, before, mark);
  await trial.write(client, value, octets);
  await trial.mustHold(client, value, octets, mark);
}

/** Two values in one queue: both or none, Core Vol 3 Part F 3.4.6.3. */
function togetherDrafts(table: Table): readonly Draft[] {
  const writable = table.values.filter(
    (value) =>
      value.access.includes('write') &&
      needOf(value) === 'open' &&
      value.maxLength <= prepareRoom &&
      steps(value.type, 2) !== undefined,
  );
  const refusing = writable.find((value) => refusedSamples(value.type).some(({ reason }) => reason === 'value'));
  const other = writable.find((value) => value !== refusing);
  if (other === undefined) return [];
  const partner = refusing ?? writable.find((value) => value !== other);
  if (partner === undefined) return [];
  const base = { subject: 'table', place: other.at, requires: ['raw-pdu', 'console'] as const };
  const wrong = refusedSamples(partner.type).find(({ reason }) => reason === 'value')?.bytes;
  return [
    {
      ...base,
      kind: 'together',
      about: `${other.label} and ${partner.label} can be written together.`,
      run: (trial) => takesBoth(trial, other, partner),
    },
    ...when(wrong !== undefined, {
      ...base,
      kind: 'all-or-none',
      about: `When ${partner.label} is refused, ${other.label} written together with it does not change either.`,
      run: (trial) => takesNeither(trial, other, partner, wrong ?? noBytes),
    }),
  ];
}

async function takesBoth(trial: Trial, first: ValueDefinition, second: ValueDefinition): Promise<void> {
  const client = await trial.connect();
  const wanted = new Map<ValueDefinition, Bytes>();
  for (const value of [first, second]) {
    const [before, after] = steps(value.type, 2) ?? [noBytes, noBytes];
    await trial.hold(client, value, before ?? noBytes);
    wanted.set(value, after ?? noBytes);
  }
  const mark = trial.mark();
  for (const [value, octets] of wanted) {
    await client.mustAnswer(prepareWrite(value.handle, 0, octets), 'a prepared part');
  }
  await client.mustAnswerWith(executeWrite(true), executeWriteResponse, 'executing both works');
  for (const [value, octets] of wanted) await trial.mustHold(client, value, octets, mark);
}

async function takesNeither(
  trial: Trial,
  first: ValueDefinition,
  second: ValueDefinition,
  wrong: Bytes,
): Promise<void> {
  const client = await trial.connect();
  const [before = noBytes, after = noBytes] = steps(first.type, 2) ?? [];
  await trial.hold(client, first, before);
  const mark = trial.mark();
  await client.mustAnswer(prepareWrite(first.handle, 0, after), 'a prepared part');
  await client.mustAnswer(prepareWrite(second.handle, 0, wrong), 'a prepared part');
  const what = `${valueWords(second.type, wrong)} in the queue`;
  await client.mustRefuse(executeWrite(true), second.handle, second.refuseWith, what);
  await trial.mustBeUnchanged(client, first, before, mark);
}
