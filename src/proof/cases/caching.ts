import { equalBytes, noBytes, reversed, type Bytes } from '../../base/bytes.ts';
import { uuid16, type Uuid } from '../../base/uuid.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { CharacteristicEntry, Row, Table } from '../../table/model.ts';
import type { Case } from '../case.ts';
import type { Client } from '../client.ts';
import { makeCases, type Draft } from '../make-case.ts';
import { attributeAt } from '../remote.ts';
import { securityFor } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { answerWords, hexWords } from '../words.ts';
import { readByType, readRequest, writeRequest, writeResponse } from '../wire.ts';

/** Characteristics of the GATT service, Core Vol 3 Part G section 7. */
const type = {
  serviceChanged: uuid16(0x2a05),
  clientFeatures: uuid16(0x2b29),
  databaseHash: uuid16(0x2b2a),
} as const;

/** Robust caching, Core Vol 3 Part G 7.2. */
const robustCaching = 0x01;

/** Can a client that remembers the table trust it: the hash, the features, Service Changed. */
export function cachingCases(table: Table): readonly Case[] {
  return makeCases('caching', [
    ...withRow(table, type.databaseHash, (row) => hashDrafts(table, row)),
    ...withRow(table, type.clientFeatures, featureDrafts),
    ...withRow(table, type.serviceChanged, (row) => serviceChangedDrafts(table, row)),
  ]);
}

function withRow(table: Table, uuid: Uuid, drafts: (row: Row) => readonly Draft[]): readonly Draft[] {
  const row = table.rows.find((candidate) => candidate.type === uuid);
  return row === undefined ? [] : drafts(row);
}

function hashDrafts(table: Table, row: Row): readonly Draft[] {
  const hash = table.databaseHash.onAir;
  const claimHash = (trial: Trial, seen: Bytes): void => {
    const turned = equalBytes(seen, reversed(hash));
    const words = turned ? `the same octets in the reverse order: ${hexWords(seen)}` : hexWords(seen);
    trial.claim(equalBytes(seen, hash), `the hash of the contract's table, ${hexWords(hash)}`, words);
  };
  return [
    {
      subject: 'board',
      kind: 'hash',
      about: 'The Database Hash is the one of the contract: a client that knows it need not discover again.',
      place: row.at,
      requires: ['handles'],
      run: async (trial) => {
        const client = await trial.connect();
        claimHash(trial, await client.mustRead(attributeAt(row.handle, row.type), 'the hash'));
      },
    },
    {
      subject: 'board',
      kind: 'hash-by-uuid',
      about: 'The Database Hash is found without knowing its handle.',
      place: row.at,
      requires: ['raw-pdu'],
      run: async (trial) => {
        const client = await trial.connect();
        const answer = await client.mustAnswer(readByType(1, 0xffff, row.type), 'reading the hash by its UUID');
        const right = answer[0] === opcode.readByTypeResponse && answer[1] === 18 && answer.length === 20;
        trial.observe(right, 'one entry of 16 octets', answerWords(answer));
        claimHash(trial, answer.subarray(4));
      },
    },
  ];
}

function featureDrafts(row: Row): readonly Draft[] {
  const target = attributeAt(row.handle, row.type);
  const mustRead = async (trial: Trial, client: Client, octet: number, whenever: string): Promise<void> => {
    const read = await client.mustRead(target, 'the client features');
    trial.observe(equalBytes(read, Uint8Array.of(octet)), `0${octet} ${whenever}`, hexWords(read));
  };
  const set = (client: Client): Promise<void> =>
    client.mustAnswerWith(
      writeRequest(row.handle, Uint8Array.of(robustCaching)),
      writeResponse,
      'robust caching is taken',
    );
  const base = { subject: 'board', place: row.at };
  return [
    {
      ...base,
      kind: 'features',
      about: 'A client says what it can do, once and for all: a feature once set stays set.',
      requires: ['raw-pdu'],
      run: async (trial) => {
        const client = await trial.connect();
        await mustRead(trial, client, 0, 'at first');
        await set(client);
        await mustRead(trial, client, robustCaching, 'when set');
        const clear = writeRequest(row.handle, Uint8Array.of(0));
        await client.mustRefuse(clear, row.handle, attError.valueNotAllowed, 'clearing a feature');
        await mustRead(trial, client, robustCaching, 'still');
      },
    },
    {
      ...base,
      kind: 'features-length',
      about: 'Features of no octets are refused.',
      requires: ['raw-pdu'],
      run: async (trial) => {
        const client = await trial.connect();
        const empty = writeRequest(row.handle, noBytes);
        await client.mustRefuse(empty, row.handle, attError.invalidAttributeValueLength, 'no octets');
        await mustRead(trial, client, 0, 'still');
      },
    },
    {
      ...base,
      kind: 'features-forgotten',
      about: 'The features of a client without a bond are gone when it connects again, and are no other client’s.',
      requires: ['raw-pdu', 'second-client'],
      run: async (trial) => {
        const client = await trial.connect();
        await set(client);
        await mustRead(trial, await trial.connect({ identity: 'second' }), 0, 'for another client');
        await trial.leave(client);
        await mustRead(trial, await trial.connect(), 0, 'on the new connection');
      },
    },
    {
      ...base,
      kind: 'features-kept',
      about: 'The features of a bonded client are there when it connects again.',
      requires: ['raw-pdu', 'security'],
      run: async (trial) => {
        const security = { ...securityFor('encrypted'), bonded: true };
        const client = await trial.connect({ identity: 'bonded for features', security });
        await set(client);
        await trial.leave(client);
        const again = await trial.connect({ identity: 'bonded for features', security });
        await mustRead(trial, again, robustCaching, 'on the new connection');
      },
    },
    {
      ...base,
      kind: 'aware',
      about: 'A client with robust caching that knows the table is served as any other.',
      requires: ['raw-pdu'],
      run: async (trial) => {
        const client = await trial.connect();
        await set(client);
        for (let i = 0; i < 3; i++) await mustRead(trial, client, robustCaching, 'each time');
      },
    },
  ];
}

function serviceChangedDrafts(table: Table, row: Row): readonly Draft[] {
  const entry = table.services
    .flatMap((service) => service.characteristics)
    .find((characteristic: CharacteristicEntry) => characteristic.value === row.handle);
  const cccd = entry?.cccd;
  const base = { subject: 'board', place: row.at, requires: ['raw-pdu'] as const };
  const read: Draft = {
    ...base,
    kind: 'service-changed-read',
    about: 'Service Changed is told, not read.',
    run: async (trial) => {
      const client = await trial.connect();
      await client.mustRefuse(readRequest(row.handle), row.handle, attError.readNotPermitted, 'reading it');
    },
  };
  if (cccd === undefined) return [read];
  return [
    read,
    {
      ...base,
      kind: 'service-changed',
      about: 'A client can ask to be told when the table changes; as it does not change, nothing comes.',
      run: async (trial) => {
        const client = await trial.connect();
        const target = attributeAt(cccd, attributeType.clientConfiguration);
        await client.mustAnswerWith(writeRequest(cccd, Uint8Array.of(2, 0)), writeResponse, 'subscribing works');
        const state = await client.mustRead(target, 'the subscription');
        trial.observe(equalBytes(state, Uint8Array.of(2, 0)), 'the subscription reads 02 00', hexWords(state));
        const [event] = client.values;
        const seen = event === undefined ? undefined : `${hexWords(event.value)} came`;
        trial.claim(event === undefined, 'nothing comes', seen);
      },
    },
  ];
}
