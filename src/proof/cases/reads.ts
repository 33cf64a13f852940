import { concat, equalBytes, readU16le, u16le, type Bytes } from '../../base/bytes.ts';
import { uuid16 } from '../../base/uuid.ts';
import type { Reach } from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import { checkValue } from '../../values/check.ts';
import { isFixedLength } from '../../values/codec.ts';
import { refusalText } from '../../values/refusal.ts';
import type { Case } from '../case.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import type { Sample } from '../sample.ts';
import { allowedSamples, steps } from '../samples.ts';
import { reachesFor } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { answerWords, errorWords, handleWords, hexWords, valueWords } from '../words.ts';
import { errorResponse, readByType, readMultiple, readMultipleVariable } from '../wire.ts';

/** Is what is read what the board holds: each readable value, at its limits, by every way of reading. */
export function readCases(table: Table): readonly Case[] {
  const readable = table.values.filter((value) => value.access.includes('read'));
  return makeCases('reads', [...readable.flatMap(valueDrafts), ...multipleDrafts(table, readable)]);
}

function valueDrafts(value: ValueDefinition): readonly Draft[] {
  const { id: subject, label, at: place, type } = value;
  const requires = reachesFor(value);
  const withConsole: readonly Reach[] = [...requires, 'console'];
  const writable = value.access.includes('write');
  return [
    {
      subject,
      kind: 'value',
      about: `${label} can be read, and what is read is a value the contract allows.`,
      place,
      requires,
      run: (trial) => readsAllowed(trial, value),
    },
    {
      subject,
      kind: 'truth',
      about: `${label} as read over the air is what the board's console says.`,
      place,
      requires: withConsole,
      run: (trial) => readsTruth(trial, value),
    },
    // What can be written is read back at each limit by the cases of `writes`.
    ...(writable ? [] : allowedSamples(type)).map((sample): Draft => ({
      subject,
      kind: 'sample',
      name: sample.name,
      about: `When the board holds ${valueWords(type, sample.bytes)} as ${label}, that is what is read.`,
      place,
      requires: withConsole,
      run: (trial) => readsSample(trial, value, sample),
    })),
    ...when(steps(type, 2) !== undefined, {
      subject,
      kind: 'changing',
      about: `Each read of ${label} gives the value of that moment, whole and not an older one.`,
      place,
      requires: withConsole,
      run: (trial) => readsChanges(trial, value),
    }),
    {
      subject,
      kind: 'by-type',
      about: `${label} can be read by its UUID.`,
      place,
      requires: [...requires, 'raw-pdu'],
      run: (trial) => readsByUuid(trial, value),
    },
  ];
}

async function readsAllowed(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  const octets = await trial.read(client, value);
  const { minLength: min, maxLength: max } = value;
  const lengths = min === max ? `${min} octets` : `${min} to ${max} octets`;
  trial.observe(octets.length >= min && octets.length <= max, lengths, `${octets.length} octets: ${hexWords(octets)}`);
  const refusal = checkValue(value.type, octets);
  const seen = valueWords(value.type, octets);
  const why = refusal === undefined ? '' : `: ${refusalText(refusal)}`;
  trial.observe(refusal === undefined, 'a value the contract allows', seen + why);
}

async function readsTruth(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  const before = await trial.truthOf(value);
  const mark = trial.mark();
  const octets = await trial.read(client, value);
  mustBeTruth(trial, value, octets, mark, before);
}

async function readsSample(trial: Trial, value: ValueDefinition, sample: Sample): Promise<void> {
  const client = await trial.connectFor(value);
  await trial.set(value, sample.bytes);
  const mark = trial.mark();
  const octets = await trial.read(client, value);
  mustBeTruth(trial, value, octets, mark, sample.bytes);
}

async function readsChanges(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  for (const octets of steps(value.type, 5) ?? []) {
    await trial.set(value, octets);
    const mark = trial.mark();
    mustBeTruth(trial, value, await trial.read(client, value), mark, octets);
  }
}

/** Claims that what was read was the truth since the mark; `before` was the truth at the mark. */
function mustBeTruth(trial: Trial, value: ValueDefinition, read: Bytes, mark: number, before: Bytes | undefined): void {
  if (before === undefined) return;
  const right = trial.truth?.held(value.id, read, mark, before) ?? false;
  const changes = trial.truth?.changes(value.id, mark) ?? [];
  const moved = changes.length === 0 ? '' : `, or one of ${changes.length} later values`;
  trial.observe(right, valueWords(value.type, before) + moved, valueWords(value.type, read));
}

async function readsByUuid(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  const mark = trial.mark();
  const before = await trial.read(client, value);
  const answer = await client.mustAnswer(readByType(value.handle, value.handle, value.uuid), 'reading by type');
  const listed = answer.subarray(4);
  const rightFrame =
    answer[0] === opcode.readByTypeResponse &&
    answer[1] === listed.length + 2 &&
    readU16le(answer, 2) === value.handle &&
    answer.length <= defaultMtu;
  const frame = `one entry with handle ${handleWords(value.handle)}`;
  trial.observe(rightFrame, frame, answerWords(answer));
  // What does not fit the response is cut, Core Vol 3 Part F 3.4.4.2.
  const room = Math.min(defaultMtu - 4, 253);
  const candidates = [before, ...(trial.truth?.changes(value.id, mark) ?? []).map((told) => told.value)];
  const right = candidates.some((octets) => equalBytes(octets.subarray(0, room), listed));
  trial.observe(right, hexWords(before.subarray(0, room)), hexWords(listed));
}

/** Several values in one answer, Core Vol 3 Part F 3.4.4.7 and 3.4.4.11. */
function multipleDrafts(table: Table, readable: readonly ValueDefinition[]): readonly Draft[] {
  const open = readable.filter((value) => value.needs.read === 'open');
  // Both short enough to stand whole in one response at the smallest MTU.
  const short = open.filter((value) => isFixedLength(value.type) && value.maxLength <= (defaultMtu - 3) / 2);
  const [first, second] = short;
  const [hidden] = table.values.filter((value) => !value.access.includes('read'));
  if (first === undefined) return [];
  const base = { subject: 'table', place: first.at, requires: ['raw-pdu'] as const };
  const name = table.rows.find(({ type }) => type === uuid16(0x2a00));
  return [
    ...when(second !== undefined, {
      ...base,
      kind: 'multiple',
      about: 'Two values of fixed length can be read in one request.',
      run: (trial) => readsTwo(trial, first, second ?? first),
    }),
    ...when(name !== undefined, {
      ...base,
      kind: 'multiple-variable',
      about: 'Values of any length can be read in one request, each with its length.',
      run: (trial) => readsVariable(trial, name?.handle ?? 0, first),
    }),
    ...when(hidden !== undefined, {
      ...base,
      kind: 'multiple-refused',
      about: 'A request for several values is refused when one of them cannot be read, and the answer says which.',
      run: async (trial) => {
        const client = await trial.connect();
        const target = hidden?.handle ?? 0;
        const answer = await client.mustAnswer(readMultiple([first.handle, target]), 'reading two values');
        const right = equalBytes(answer, errorResponse(opcode.readMultipleRequest, target, attError.readNotPermitted));
        const expected = `${errorWords(attError.readNotPermitted)} for ${handleWords(target)}`;
        trial.observe(right, expected, answerWords(answer));
      },
    }),
  ];
}

async function readsTwo(trial: Trial, first: ValueDefinition, second: ValueDefinition): Promise<void> {
  const client = await trial.connect();
  const mark = trial.mark();
  const before = [await trial.read(client, first), await trial.read(client, second)];
  const answer = await client.mustAnswer(readMultiple([first.handle, second.handle]), 'reading two values');
  const room = defaultMtu - 1;
  const choices = [first, second].map((value, i) => [
    before[i] ?? new Uint8Array(0),
    ...(trial.truth?.changes(value.id, mark) ?? []).map((told) => told.value),
  ]);
  const right = (choices[0] ?? []).some((a) =>
    (choices[1] ?? []).some((b) =>
      equalBytes(answer, concat([opcode.readMultipleResponse], concat(a, b).subarray(0, room))),
    ),
  );
  trial.observe(right, `both values one behind the other: ${hexWords(concat(...before))}`, answerWords(answer));
}

async function readsVariable(trial: Trial, name: number, value: ValueDefinition): Promise<void> {
  const client = await trial.connect();
  const octets = await trial.read(client, value);
  const mark = trial.mark();
  const answer = await client.mustAnswer(
    readMultipleVariable([value.handle, name]),
    'reading two values of any length',
  );
  const whole = (part: Bytes): Bytes => concat([opcode.readMultipleVariableResponse], u16le(part.length), part);
  const candidates = [octets, ...(trial.truth?.changes(value.id, mark) ?? []).map((told) => told.value)];
  const nameLength = trial.table.rows.flatMap((row) =>
    row.handle === name && row.content.kind === 'constant' ? [row.content.bytes] : [],
  )[0];
  const right = candidates.some((part) => {
    const expected = concat(whole(part), u16le(nameLength?.length ?? 0), nameLength ?? []).subarray(0, defaultMtu);
    return equalBytes(answer, expected);
  });
  const expected = `length and octets of \`${value.id}\`, then of the name: ${hexWords(whole(octets))} …`;
  trial.observe(right, expected, answerWords(answer));
}
