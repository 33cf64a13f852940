import { equalBytes, readU16le, toHex, type Bytes } from '../../base/bytes.ts';
import { nowhere } from '../../base/text-range.ts';
import { shortUuidValue, uuid16, uuidBytes, uuidFromBytes, type Uuid } from '../../base/uuid.ts';
import type { RemoteService } from '../../att/link.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import { attributeType, descriptors } from '../../numbers/descriptors.ts';
import type { Handle, Row, ServiceEntry, Table } from '../../table/model.ts';
import { rowMeaning } from '../../table/row-meaning.ts';
import type { Case } from '../case.ts';
import type { Client } from '../client.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import { attributeAt } from '../remote.ts';
import type { Trial } from '../trial.ts';
import { answerWords, count, errorWords, handleWords, hexWords } from '../words.ts';
import {
  errorResponse,
  findByTypeValue,
  findInformation,
  parseEntries,
  parseError,
  pieces,
  readByGroupType,
  readByType,
} from '../wire.ts';

const lastHandle = 0xffff;

/** Is the attribute table on the air the one of the contract: by every way a client can ask for it. */
export function structureCases(table: Table): readonly Case[] {
  return makeCases('structure', [
    ...tableDrafts(table),
    ...table.services.flatMap((service) => serviceDrafts(table, service)),
    ...rowDrafts(table),
  ]);
}

function tableDrafts(table: Table): readonly Draft[] {
  const place = table.services[0] === undefined ? nowhere : placeOf(table, table.services[0]);
  const last = table.rows[table.rows.length - 1]?.handle ?? 0;
  const draft = (kind: string, about: string, run: (client: Client, trial: Trial) => Promise<void>): Draft => ({
    subject: 'table',
    kind,
    about,
    place,
    requires: ['raw-pdu'],
    run: async (trial) => {
      await run(await trial.connect(), trial);
    },
  });
  return [
    draft('primary-services', 'All primary services are found, each with its first and last handle.', (client, trial) =>
      groupsAre(
        trial,
        client,
        attributeType.primaryService,
        table.services.filter((service) => !service.secondary),
      ),
    ),
    draft('secondary-services', 'All secondary services are found, and no other.', (client, trial) =>
      groupsAre(
        trial,
        client,
        attributeType.secondaryService,
        table.services.filter((service) => service.secondary),
      ),
    ),
    draft('attributes', 'Every attribute has its handle and its type, and there is no other.', (client, trial) =>
      attributesAre(trial, client, 1, lastHandle, table.rows),
    ),
    draft('group-type', 'A search for groups of what forms no groups is refused.', (client) =>
      client.mustRefuse(
        readByGroupType(1, lastHandle, attributeType.characteristic),
        1,
        attError.unsupportedGroupType,
        'reading characteristics by group type',
      ),
    ),
    draft('nothing-else', 'A search for what is not in the table finds nothing.', async (client) => {
      const absent = uuid16(0xfffe);
      const what = 'a search by the unused type FFFE';
      await client.mustRefuse(readByType(1, lastHandle, absent), 1, attError.attributeNotFound, what);
      if (last === lastHandle) return;
      const behind = findInformation(last + 1, lastHandle);
      await client.mustRefuse(behind, last + 1, attError.attributeNotFound, 'a search behind the last attribute');
    }),
  ];
}

function serviceDrafts(table: Table, service: ServiceEntry): readonly Draft[] {
  const rows = table.rows.filter(({ handle }) => handle >= service.start && handle <= service.end);
  const of = (type: Uuid): readonly Row[] => rows.filter((row) => row.type === type);
  const own = service.characteristics.some(({ index }) => index !== undefined);
  const draft = (kind: string, about: string, run: (trial: Trial, client: Client) => Promise<void>): Draft => ({
    subject: service.id,
    kind,
    about,
    place: placeOf(table, service),
    requires: ['raw-pdu'],
    run: async (trial) => {
      await run(trial, await trial.connect());
    },
  });
  const { start, end, label } = service;
  return [
    {
      ...draft(
        'discovery',
        `Discovery finds the service ${label} with its characteristics and descriptors.`,
        (trial, client) => discovered(trial, client, table, service),
      ),
      requires: service.secondary || !own ? ['handles'] : [],
    },
    ...when(
      !service.secondary,
      draft('by-uuid', `The service ${label} is found by its UUID.`, (trial, client) =>
        foundByUuid(trial, client, table, service),
      ),
    ),
    draft('includes', `The service ${label} includes what the contract says.`, (trial, client) =>
      readsByType(trial, client, start, end, attributeType.include, of(attributeType.include)),
    ),
    draft(
      'characteristics',
      `The characteristics of ${label} have their handles, properties and UUIDs.`,
      (trial, client) =>
        readsByType(trial, client, start, end, attributeType.characteristic, of(attributeType.characteristic)),
    ),
    draft('attributes', `The attributes of ${label} have their handles and types.`, (trial, client) =>
      attributesAre(trial, client, start, end, rows),
    ),
  ];
}

/** One case for each attribute that never changes: its octets, read by its handle. */
function rowDrafts(table: Table): readonly Draft[] {
  const seen = new Map<string, number>();
  return table.rows.flatMap((row) => {
    const { content } = row;
    if ((content.kind !== 'constant' && content.kind !== 'description') || row.permissions.read !== 'open') return [];
    // The hash has its own case in `caching`.
    if (row.type === databaseHashType) return [];
    const { subject, name } = nameOfRow(table, row);
    const times = (seen.get(`${subject}/${name}`) ?? 0) + 1;
    seen.set(`${subject}/${name}`, times);
    return [
      {
        subject,
        kind: 'attribute',
        name: times === 1 ? name : `${name}-${times}`,
        about: `The attribute at ${handleWords(row.handle)} (${row.about}) reads as the contract gives it.`,
        place: row.at,
        requires: ['handles'],
        run: async (trial) => {
          const client = await trial.connect();
          const octets = await client.mustRead(attributeAt(row.handle, row.type), row.about);
          trial.observe(
            equalBytes(octets, content.bytes),
            attributeWords(table, row, content.bytes),
            attributeWords(table, row, octets),
          );
        },
      } satisfies Draft,
    ];
  });
}

/** `hertz, uint16 × 10^-2 (06 fe 22 27 01 00 00)`: what the octets would mean as the value of this attribute. */
function attributeWords(table: Table, row: Row, octets: Bytes): string {
  const meaning = rowMeaning({ ...row, content: { kind: 'constant', bytes: octets } }, table);
  return meaning === '' ? hexWords(octets) : `${meaning} (${hexWords(octets)})`;
}

const databaseHashType = uuid16(0x2b2a);

async function groupsAre(trial: Trial, client: Client, type: Uuid, services: readonly ServiceEntry[]): Promise<void> {
  const expected = services.map(({ start, end, uuid }) => groupWords(start, end, uuid));
  const seen: string[] = [];
  for (let from = 1; from <= lastHandle && !trial.over;) {
    const answer = await client.mustAnswer(readByGroupType(from, lastHandle, type), 'a search for services');
    if (isEnd(answer, opcode.readByGroupTypeRequest, from)) break;
    const entries = answer[0] === opcode.readByGroupTypeResponse ? parseEntries(answer) : undefined;
    if (!understood(trial, entries, answer)) break;
    for (const entry of entries ?? []) {
      const start = readU16le(entry, 0) ?? 0;
      const end = readU16le(entry, 2) ?? 0;
      trial.claim(start >= from && end >= start, 'groups with ascending handles', groupWords(start, end, undefined));
      seen.push(groupWords(start, end, uuidFromBytes(entry.subarray(4))));
      from = end + 1;
    }
  }
  sameList(trial, expected, seen, 'service');
}

async function foundByUuid(trial: Trial, client: Client, table: Table, service: ServiceEntry): Promise<void> {
  const type = shortUuidValue(attributeType.primaryService) ?? 0;
  const twins = table.services.filter(({ uuid, secondary }) => uuid === service.uuid && !secondary);
  const expected = twins.map(({ start, end }) => groupWords(start, end, service.uuid));
  const seen: string[] = [];
  for (let from = 1; from <= lastHandle && !trial.over;) {
    const request = findByTypeValue(from, lastHandle, type, uuidBytes(service.uuid));
    const answer = await client.mustAnswer(request, `a search for ${service.uuid}`);
    if (isEnd(answer, opcode.findByTypeValueRequest, from)) break;
    const list = answer.subarray(1);
    const whole = answer[0] === opcode.findByTypeValueResponse && list.length > 0 && list.length % 4 === 0;
    if (!understood(trial, whole ? [] : undefined, answer)) break;
    for (const entry of pieces(list, 4)) {
      const start = readU16le(entry, 0) ?? 0;
      const end = readU16le(entry, 2) ?? 0;
      trial.claim(start >= from && end >= start, 'groups with ascending handles', groupWords(start, end, undefined));
      seen.push(groupWords(start, end, service.uuid));
      from = end + 1;
    }
  }
  sameList(trial, expected, seen, 'service');
}

async function readsByType(
  trial: Trial,
  client: Client,
  start: number,
  end: number,
  type: Uuid,
  rows: readonly Row[],
): Promise<void> {
  const words = (handle: Handle, octets: Bytes): string => {
    const row = trial.table.rows.find((candidate) => candidate.type === type);
    const meaning = row === undefined ? hexWords(octets) : attributeWords(trial.table, { ...row, handle }, octets);
    return `${handleWords(handle)}: ${meaning}`;
  };
  const expected = rows.flatMap(({ handle, content }) =>
    content.kind === 'constant' ? [words(handle, content.bytes)] : [],
  );
  const seen: string[] = [];
  for (let from = start; from <= end && !trial.over;) {
    const answer = await client.mustAnswer(readByType(from, end, type), `reading by type ${type}`);
    if (isEnd(answer, opcode.readByTypeRequest, from)) break;
    const entries = answer[0] === opcode.readByTypeResponse ? parseEntries(answer) : undefined;
    if (!understood(trial, entries, answer)) break;
    for (const entry of entries ?? []) {
      const handle = readU16le(entry, 0) ?? 0;
      trial.claim(handle >= from && handle <= end, 'ascending handles in the range asked', handleWords(handle));
      seen.push(words(handle, entry.subarray(2)));
      from = handle + 1;
    }
  }
  sameList(trial, expected, seen, 'declaration');
}

async function attributesAre(
  trial: Trial,
  client: Client,
  start: number,
  end: number,
  rows: readonly Row[],
): Promise<void> {
  const expected = rows.map(({ handle, type }) => typeWords(handle, type));
  const seen: string[] = [];
  for (let from = start; from <= end && !trial.over;) {
    const answer = await client.mustAnswer(findInformation(from, end), 'a search for attributes');
    if (isEnd(answer, opcode.findInformationRequest, from)) break;
    // Format 1: handles with 16-bit UUIDs; format 2: with 128-bit ones. Core Vol 3 Part F 3.4.3.2.
    const length = answer[1] === 1 ? 4 : answer[1] === 2 ? 18 : 0;
    const list = answer.subarray(2);
    const whole =
      answer[0] === opcode.findInformationResponse && length > 0 && list.length > 0 && list.length % length === 0;
    if (!understood(trial, whole ? [] : undefined, answer)) break;
    for (const entry of pieces(list, length)) {
      const handle = readU16le(entry, 0) ?? 0;
      trial.claim(handle >= from && handle <= end, 'ascending handles in the range asked', handleWords(handle));
      seen.push(typeWords(handle, uuidFromBytes(entry.subarray(2))));
      from = handle + 1;
    }
  }
  sameList(trial, expected, seen, 'attribute');
}

/** The end of a search: Attribute Not Found, blamed on the first handle of the range. */
function isEnd(answer: Bytes, request: number, from: number): boolean {
  return equalBytes(answer, errorResponse(request, from, attError.attributeNotFound));
}

function understood(trial: Trial, entries: readonly Bytes[] | undefined, answer: Bytes): boolean {
  const error = parseError(answer);
  const seen = error === undefined ? `octets that do not add up: ${hexWords(answer)}` : answerWords(answer);
  const end = errorWords(attError.attributeNotFound);
  trial.claim(entries !== undefined, `entries of equal length, and ${end} behind the last one`, seen);
  return entries !== undefined && !trial.over;
}

async function discovered(trial: Trial, client: Client, table: Table, service: ServiceEntry): Promise<void> {
  const services = await client.mustDiscover();
  const place = table.services.filter(({ uuid }) => uuid === service.uuid).indexOf(service);
  const found = services.filter(({ uuid }) => uuid === service.uuid)[place];
  trial.claim(found !== undefined, `the service ${service.uuid}`, 'it is not among those discovered');
  if (found === undefined) return;
  const handles = trial.link.reaches.has('handles');
  sameList(trial, wordsOfService(service, handles), wordsOfDiscovered(found, handles), 'entry');
}

function wordsOfService(service: ServiceEntry, handles: boolean): readonly string[] {
  return service.characteristics.flatMap((entry) => [
    characteristicWords(entry.uuid, entry.properties, handles ? entry.value : undefined),
    ...entry.descriptors.map(({ handle, type }) => descriptorWords(type, handles ? handle : undefined)),
  ]);
}

function wordsOfDiscovered(service: RemoteService, handles: boolean): readonly string[] {
  return service.characteristics.flatMap((entry) => [
    characteristicWords(entry.uuid, entry.properties, handles ? entry.handle : undefined),
    ...entry.descriptors.map(({ handle, uuid }) => descriptorWords(uuid, handles ? handle : undefined)),
  ]);
}

function characteristicWords(uuid: Uuid, properties: number, handle: number | undefined): string {
  return `characteristic ${uuid}${atWords(handle)} with properties 0x${toHex(Uint8Array.of(properties))}`;
}

function descriptorWords(uuid: Uuid, handle: number | undefined): string {
  return `descriptor ${uuid}${atWords(handle)}`;
}

function atWords(handle: number | undefined): string {
  return handle === undefined ? '' : ` at ${handleWords(handle)}`;
}

/** Claims that two lists are alike and names the first difference. */
function sameList(trial: Trial, expected: readonly string[], seen: readonly string[], noun: string): void {
  const length = Math.max(expected.length, seen.length);
  for (let i = 0; i < length; i++) {
    const wanted = expected[i];
    const found = seen[i];
    if (wanted === found) continue;
    trial.claim(false, wanted ?? `no ${noun} more`, found ?? `no ${noun} more`);
    return;
  }
  trial.claim(true, `${count(expected.length, noun, noun === 'entry' ? 'entries' : `${noun}s`)} as in the table`);
}

function groupWords(start: number, end: number, uuid: Uuid | undefined): string {
  return `service ${uuid ?? 'of no UUID'} from ${handleWords(start)} to ${handleWords(end)}`;
}

function typeWords(handle: number, type: Uuid | undefined): string {
  return `attribute ${handleWords(handle)} of type ${type ?? 'no UUID'}`;
}

/** Whose attribute it is, and which of its attributes: parts of a case id. */
function nameOfRow(table: Table, row: Row): { readonly subject: string; readonly name: string } {
  const service = table.services.find(({ start, end }) => row.handle >= start && row.handle <= end);
  if (service === undefined) return { subject: 'table', name: `attribute-${row.handle}` };
  if (row.handle === service.start) return { subject: service.id, name: 'service-declaration' };
  if (row.type === attributeType.include) return { subject: service.id, name: 'include' };
  const entry = [...service.characteristics].reverse().find(({ declaration }) => declaration <= row.handle);
  if (entry === undefined) return { subject: service.id, name: `attribute-${row.handle - service.start}` };
  if (row.handle === entry.declaration) return { subject: entry.id, name: 'declaration' };
  if (row.handle === entry.value) return { subject: entry.id, name: 'constant' };
  return { subject: entry.id, name: descriptors.byUuid(row.type)?.name ?? `descriptor-${row.type.toLowerCase()}` };
}

function placeOf(table: Table, service: ServiceEntry): Row['at'] {
  return table.rows.find(({ handle }) => handle === service.start)?.at ?? nowhere;
}
