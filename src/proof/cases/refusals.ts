import { equalBytes, noBytes, type Bytes } from '../../base/bytes.ts';
import type { Outcome, Reach } from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu.ts';
import { attError } from '../../numbers/att-errors.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import { nowhere } from '../../base/text-range.ts';
import type { CharacteristicEntry, Handle, Row, ServiceEntry, Table, ValueDefinition } from '../../table/model.ts';
import { checkValue } from '../../values/check.ts';
import { refusalText } from '../../values/refusal.ts';
import type { Case } from '../case.ts';
import { quiet, type Client } from '../client.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import { isWholeWrite, refusedSamples, type RefusedSample } from '../refused-samples.ts';
import { attributeAt } from '../remote.ts';
import { allowedSamples, otherThan } from '../samples.ts';
import { reachesFor } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { errorWords, failureWords, handleWords, hexWords, valueWords } from '../words.ts';
import {
  findByTypeValue,
  findInformation,
  readBlob,
  readByGroupType,
  readByType,
  readRequest,
  writeRequest,
} from '../wire.ts';

/** Octets that a Write Command carries at the smallest MTU. */
const longestCommand = defaultMtu - 3;

/** Does the board refuse what the contract forbids, with the right error, and is nothing changed by it. */
export function refusalCases(table: Table): readonly Case[] {
  return makeCases('refusals', [
    ...table.values.flatMap((value) => valueDrafts(table, value)),
    ...table.services.flatMap((service) => service.characteristics.flatMap((entry) => cccdDrafts(table, entry))),
    ...table.services.map((service) => readOnlyDraft(table, service)),
    ...handleDrafts(table),
  ]);
}

function valueDrafts(table: Table, value: ValueDefinition): readonly Draft[] {
  const { id: subject, label, at: place, access, type } = value;
  const refused = refusedSamples(type);
  const readable = access.includes('read');
  const byRequest = access.includes('write');
  const byCommand = access.includes('write-without-response');
  const requires: readonly Reach[] = reachesFor(value);
  const visible: readonly Reach[] = [...requires, ...(readable ? [] : (['console'] as const))];
  return [
    ...(byRequest ? refused : [])
      .filter((sample) => isWholeWrite(type, sample, table.radio.connection.mtu))
      .map((sample): Draft => ({
        subject,
        kind: sample.reason,
        name: sample.name,
        about: `The board refuses ${valueWords(type, sample.bytes)} as ${label}, and the value stays as it was.`,
        place,
        requires: isWholeWrite(type, sample, defaultMtu) ? requires : [...requires, 'mtu'],
        run: (trial) => refusesSample(trial, value, sample),
      })),
    ...(byCommand ? refused : [])
      .filter(({ bytes }) => bytes.length <= longestCommand)
      .map((sample): Draft => ({
        subject,
        kind: 'command',
        name: `command-${sample.name}`,
        about: `Sent without response, ${valueWords(type, sample.bytes)} does not become ${label}.`,
        place,
        requires: visible,
        run: (trial) => ignoresCommand(trial, value, sample.bytes),
      })),
    ...when(!readable, {
      subject,
      kind: 'read',
      about: `${label} cannot be read, in whole or in part.`,
      place,
      requires,
      run: (trial) => cannotBeRead(trial, value),
    }),
    ...when(!byRequest, {
      subject,
      kind: 'write',
      about: `${label} cannot be written with a request.`,
      place,
      requires,
      run: (trial) => cannotBeWritten(trial, value),
    }),
    ...when(!byCommand && value.minLength <= longestCommand, {
      subject,
      kind: 'write-without-response',
      about: `${label} does not change when it is sent without response.`,
      place,
      requires: visible,
      run: async (trial) => {
        const [first] = allowedSamples(value.type);
        const other =
          first === undefined ? undefined : (otherThan(value.type, first.bytes, longestCommand) ?? first.bytes);
        await ignoresCommand(trial, value, other ?? noBytes);
      },
    }),
  ];
}

/** What the board held before; it is set to something plain first, so that a refused value would be seen. */
async function rest(trial: Trial, client: Client, value: ValueDefinition): Promise<Bytes | undefined> {
  const [plain] = allowedSamples(value.type);
  const writable = value.access.includes('write');
  if (plain === undefined) return undefined;
  if (trial.truth === undefined && !writable) {
    return value.access.includes('read') ? trial.read(client, value) : undefined;
  }
  await trial.hold(client, value, plain.bytes);
  return plain.bytes;
}

async function refusesSample(trial: Trial, value: ValueDefinition, sample: RefusedSample): Promise<void> {
  const client = await trial.connectFor(value);
  if (!isWholeWrite(value.type, sample, defaultMtu)) await client.mustExchangeMtu(trial.table.radio.connection.mtu);
  const before = await rest(trial, client, value);
  const mark = trial.mark();
  const code = sample.reason === 'length' ? attError.invalidAttributeValueLength : value.refuseWith;
  const outcome = await client.write(value, sample.bytes);
  mustBeRefused(trial, outcome, code, `${valueWords(value.type, sample.bytes)} is refused`, reasonOf(value, sample));
  if (before !== undefined) await trial.mustBeUnchanged(client, value, before, mark);
}

/** `4.01 Hz is outside 0 to 4 Hz`. */
function reasonOf(value: ValueDefinition, sample: RefusedSample): string {
  const refusal = checkValue(value.type, sample.bytes);
  return refusal === undefined ? '' : `: ${refusalText(refusal)}`;
}

/** Claims an ATT error, and its number where the link shows it. */
function mustBeRefused(trial: Trial, outcome: Outcome<unknown>, code: number, what: string, why = ''): void {
  const seen = outcome.ok ? 'the board took it' : failureWords(outcome.failure);
  const refused = !outcome.ok && outcome.failure.kind === 'att-error';
  const right = refused && (!trial.link.reaches.has('error-codes') || outcome.failure.code === code);
  trial.observe(right, `${what} with ${errorWords(code)}${why}`, seen);
}

async function ignoresCommand(trial: Trial, value: ValueDefinition, octets: Bytes): Promise<void> {
  const client = await trial.connectFor(value);
  const before = await rest(trial, client, value);
  if (before === undefined) return;
  const mark = trial.mark();
  const outcome = await client.writeWithoutResponse(value, octets);
  if (!outcome.ok && outcome.failure.kind !== 'att-error') {
    trial.claim(false, 'a write without response can be sent', failureWords(outcome.failure));
  }
  await trial.pass(quiet);
  await trial.mustBeUnchanged(client, value, before, mark);
}

async function cannotBeRead(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  const code = attError.readNotPermitted;
  if (!trial.link.reaches.has('raw-pdu')) {
    mustBeRefused(trial, await client.read(value), code, 'reading is refused');
    return;
  }
  const { handle } = value;
  await client.mustRefuse(readRequest(handle), handle, code, 'reading');
  await client.mustRefuse(readBlob(handle, 0), handle, code, 'reading a part');
  await client.mustRefuse(readByType(handle, handle, value.uuid), handle, code, 'reading by UUID');
}

async function cannotBeWritten(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  const before = await rest(trial, client, value);
  const octets = before === undefined ? value.start : (otherThan(value.type, before) ?? value.start);
  const mark = trial.mark();
  const what = `writing ${valueWords(value.type, octets)} is refused`;
  mustBeRefused(trial, await client.write(value, octets), attError.writeNotPermitted, what);
  if (before !== undefined) await trial.mustBeUnchanged(client, value, before, mark);
}

/** Configurations that no characteristic or not this one can have, Core Vol 3 Part G 3.3.3.3. */
function cccdDrafts(table: Table, entry: CharacteristicEntry): readonly Draft[] {
  const row = table.rows.find(({ handle }) => handle === entry.cccd);
  if (row?.content.kind !== 'cccd') return [];
  const { allowed } = row.content;
  const value = table.values.find(({ index }) => index === entry.index);
  const wrongBits = [
    { name: 'cccd-reserved-bit', octets: Uint8Array.of(allowed | 0x04, 0) },
    { name: 'cccd-high-bit', octets: Uint8Array.of(0, 0x80) },
    ...(allowed === 3 ? [] : [{ name: 'cccd-other-mode', octets: Uint8Array.of(3 & ~allowed, 0) }]),
  ];
  const wrongLengths = [
    { name: 'cccd-one-octet', octets: Uint8Array.of(allowed) },
    { name: 'cccd-three-octets', octets: Uint8Array.of(allowed, 0, 0) },
    { name: 'cccd-empty', octets: noBytes },
  ];
  const draft =
    (kind: string, code: number) =>
    ({ name, octets }: { name: string; octets: Bytes }): Draft => ({
      subject: entry.id,
      kind,
      name,
      about: `The subscription of ${entry.label} cannot be set to ${hexWords(octets)}, and stays off.`,
      place: row.at,
      requires: ['raw-pdu', ...(value === undefined ? [] : reachesFor(value))],
      run: async (trial) => {
        const client = value === undefined ? await trial.connect() : await trial.connectFor(value);
        await client.mustRefuse(
          writeRequest(row.handle, octets),
          row.handle,
          code,
          `the configuration ${hexWords(octets)}`,
        );
        const still = await client.mustRead(attributeAt(row.handle, row.type), 'the configuration');
        trial.observe(equalBytes(still, Uint8Array.of(0, 0)), 'the configuration stays 00 00', hexWords(still));
      },
    });
  return [
    ...wrongBits.map(draft('cccd-bits', attError.cccdImproperlyConfigured)),
    ...wrongLengths.map(draft('cccd-length', attError.invalidAttributeValueLength)),
  ];
}

/** Declarations, formats, labels that no client may write. */
function readOnlyDraft(table: Table, service: ServiceEntry): Draft {
  const rows = table.rows.filter(
    ({ handle, permissions }) => handle >= service.start && handle <= service.end && permissions.write === undefined,
  );
  const constant = rows.filter(({ content }) => content.kind === 'constant');
  return {
    subject: service.id,
    kind: 'read-only',
    about: `Declarations, formats and labels of ${service.label} cannot be written.`,
    place: table.rows.find(({ handle }) => handle === service.start)?.at ?? nowhere,
    requires: ['raw-pdu'],
    run: async (trial) => {
      const client = await trial.connect();
      for (const row of constant) await staysConstant(trial, client, row);
    },
  };
}

async function staysConstant(trial: Trial, client: Client, row: Row): Promise<void> {
  if (row.content.kind !== 'constant' || trial.over) return;
  const { bytes } = row.content;
  const changed = Uint8Array.from(bytes.subarray(0, 16), (octet) => octet ^ 0xff);
  const what = `writing ${handleWords(row.handle)} (${row.about})`;
  await client.mustRefuse(writeRequest(row.handle, changed), row.handle, attError.writeNotPermitted, what);
  if (row.permissions.read !== 'open') return;
  const read = await client.mustRead(attributeAt(row.handle, row.type), row.about);
  trial.claim(equalBytes(read, bytes), 'every one reads as before', `${handleWords(row.handle)}: ${hexWords(read)}`);
}

function handleDrafts(table: Table): readonly Draft[] {
  const handles = table.rows.map(({ handle }) => handle);
  const last = Math.max(...handles);
  const gap = handles.find((handle) => handle < last && !handles.includes(handle + 1));
  const place = table.rows[0]?.at ?? nowhere;
  const draft = (kind: string, about: string, run: (client: Client) => Promise<void>): Draft => ({
    subject: 'table',
    kind,
    about,
    place,
    requires: ['raw-pdu'],
    run: async (trial) => {
      await run(await trial.connect());
    },
  });
  return [
    draft('handle-zero', 'Handle 0 names no attribute.', (client) => namesNothing(client, 0)),
    ...when(
      last < 0xffff,
      draft('handle-beyond', 'The handle behind the last attribute names nothing.', (client) =>
        namesNothing(client, last + 1),
      ),
    ),
    ...when(
      gap !== undefined,
      draft('handle-in-gap', 'A handle that the contract keeps free names nothing.', (client) =>
        namesNothing(client, (gap ?? 0) + 1),
      ),
    ),
    draft('range-from-zero', 'A search from handle 0 is refused.', (client) => refusesRange(client, 0, 0xffff)),
    draft('range-reversed', 'A search that ends before it begins is refused.', (client) => refusesRange(client, 5, 4)),
  ];
}

async function namesNothing(client: Client, handle: Handle): Promise<void> {
  const code = attError.invalidHandle;
  await client.mustRefuse(readRequest(handle), handle, code, `reading ${handleWords(handle)}`);
  await client.mustRefuse(readBlob(handle, 0), handle, code, `reading a part of ${handleWords(handle)}`);
  await client.mustRefuse(writeRequest(handle, Uint8Array.of(0)), handle, code, `writing ${handleWords(handle)}`);
}

async function refusesRange(client: Client, start: Handle, end: Handle): Promise<void> {
  const type = attributeType.primaryService;
  const code = attError.invalidHandle;
  const words = `from ${handleWords(start)} to ${handleWords(end)}`;
  await client.mustRefuse(findInformation(start, end), start, code, `a search for attributes ${words}`);
  await client.mustRefuse(readByType(start, end, type), start, code, `reading by type ${words}`);
  await client.mustRefuse(readByGroupType(start, end, type), start, code, `a search for services ${words}`);
  const search = findByTypeValue(start, end, 0x2800, Uint8Array.of(0x00, 0x18));
  await client.mustRefuse(search, start, code, `a search by value ${words}`);
}
