import { equalBytes, noBytes } from '../../base/bytes.ts';
import type { LinkSecurity } from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu.ts';
import { attError } from '../../numbers/att-errors.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { Need } from '../../contract/model.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import type { Case } from '../case.ts';
import { quiet, type Client } from '../client.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import { nudge, patience } from '../pace.ts';
import { attributeAt } from '../remote.ts';
import { allowedSamples, otherThan, steps } from '../samples.ts';
import { needOf, needs, securityFor } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { hexWords } from '../words.ts';
import { prepareWrite, readBlob, readByType, readMultiple, readRequest, writeCommand, writeRequest } from '../wire.ts';

/** Is what needs a secure link kept from an open one; and what a bond keeps. The link's security is set as a fixture. */
export function securityCases(table: Table): readonly Case[] {
  return makeCases('security', [
    ...table.values.flatMap(needDrafts),
    ...table.values.filter((value) => value.cccd !== undefined).flatMap(bondDrafts),
  ]);
}

const linkWords: Readonly<Record<Need, string>> = {
  open: 'an open link',
  encrypted: 'an encrypted link',
  authenticated: 'an authenticated link',
  'secure-connections': 'a link with Secure Connections',
};

/** Each access on each link that is too weak for it, and on the one that is just good enough. */
function needDrafts(value: ValueDefinition): readonly Draft[] {
  const { id: subject, label, at: place, access } = value;
  const readable = access.includes('read');
  const writable = access.includes('write');
  const commandable = access.includes('write-without-response');
  const visible = readable ? [] : (['console'] as const);
  const sendable = commandable && steps(value.type, 2, defaultMtu - 3) !== undefined;
  const weaker = (need: Need): readonly Need[] => needs.slice(0, needs.indexOf(need));
  const base = { subject, place };
  return [
    ...(readable ? weaker(value.needs.read) : []).map((level): Draft => ({
      ...base,
      kind: 'read-refused',
      name: `read-${level}`,
      about: `${label} cannot be read over ${linkWords[level]}, by no way of reading.`,
      requires: ['raw-pdu', 'security'],
      run: (trial) => readIsRefused(trial, value, level),
    })),
    ...(writable ? weaker(value.needs.write) : []).map((level): Draft => ({
      ...base,
      kind: 'write-refused',
      name: `write-${level}`,
      about: `${label} cannot be written over ${linkWords[level]}, and does not change.`,
      requires: ['raw-pdu', 'security', ...visible],
      run: (trial) => writeIsRefused(trial, value, level),
    })),
    ...(commandable ? weaker(value.needs.write) : []).map((level): Draft => ({
      ...base,
      kind: 'command-ignored',
      name: `command-${level}`,
      about: `${label} sent without response over ${linkWords[level]} does not change the value.`,
      requires: ['raw-pdu', 'security', ...visible],
      run: (trial) => commandIsIgnored(trial, value, level),
    })),
    ...(value.cccd === undefined ? [] : weaker(value.needs.subscribe)).map((level): Draft => ({
      ...base,
      kind: 'subscribe-refused',
      name: `subscribe-${level}`,
      about: `Nobody can subscribe to ${label} over ${linkWords[level]}.`,
      requires: ['raw-pdu', 'security'],
      run: (trial) => subscriptionIsRefused(trial, value, level),
    })),
    ...when(needOf(value) !== 'open' && (readable || writable || value.cccd !== undefined || sendable), {
      ...base,
      kind: 'granted',
      about: `${label} is open to a link that is just secure enough: ${linkWords[needOf(value)]}.`,
      requires: ['security', ...(readable || writable || value.cccd !== undefined ? [] : (['console'] as const))],
      run: (trial) => isGranted(trial, value),
    }),
    ...when(readable && value.needs.read !== 'open', {
      ...base,
      kind: 'bonded-open',
      about: `A bonded client that has not encrypted the link yet is told to do so before it reads ${label}.`,
      requires: ['raw-pdu', 'security'],
      run: (trial) => asksForEncryption(trial, value),
    }),
    ...when(readable && value.needs.read === 'secure-connections', {
      ...base,
      kind: 'short-key',
      about: `A key shorter than 16 octets is too weak for ${label}.`,
      requires: ['raw-pdu', 'security'],
      run: async (trial) => {
        const client = await trial.connect({ security: { ...securityFor('secure-connections'), keySize: 7 } });
        const code = attError.encryptionKeySizeTooShort;
        await client.mustRefuse(readRequest(value.handle), value.handle, code, 'reading with a key of 7 octets');
      },
    }),
  ];
}

/** Nobody has a key yet: whatever is missing, pairing is the way to it. Core Vol 3 Part C 10.3.1. */
const refused = attError.insufficientAuthentication;

function connectAt(trial: Trial, level: Need): Promise<Client> {
  return trial.connect({ security: securityFor(level) });
}

async function readIsRefused(trial: Trial, value: ValueDefinition, level: Need): Promise<void> {
  const client = await connectAt(trial, level);
  const { handle } = value;
  await client.mustRefuse(readRequest(handle), handle, refused, 'reading');
  await client.mustRefuse(readBlob(handle, 0), handle, refused, 'reading a part');
  await client.mustRefuse(readByType(handle, handle, value.uuid), handle, refused, 'reading by UUID');
  const name = trial.table.rows[0]?.handle ?? 1;
  await client.mustRefuse(readMultiple([name, handle]), handle, refused, 'reading together with something open');
}

async function writeIsRefused(trial: Trial, value: ValueDefinition, level: Need): Promise<void> {
  const before = await held(trial, value);
  const client = await connectAt(trial, level);
  const { handle } = value;
  const octets =
    allowedSamples(value.type).find(({ bytes }) => !equalBytes(bytes, before ?? noBytes))?.bytes ?? noBytes;
  const mark = trial.mark();
  const part = octets.subarray(0, defaultMtu - 5);
  await client.mustRefuse(writeRequest(handle, octets.subarray(0, defaultMtu - 3)), handle, refused, 'writing');
  await client.mustRefuse(prepareWrite(handle, 0, part), handle, refused, 'preparing a part');
  await isUnchanged(trial, value, before, mark);
}

async function commandIsIgnored(trial: Trial, value: ValueDefinition, level: Need): Promise<void> {
  const before = await held(trial, value);
  const client = await connectAt(trial, level);
  const octets = otherThan(value.type, before ?? noBytes, defaultMtu - 3) ?? value.start;
  const mark = trial.mark();
  await client.mustIgnore(writeCommand(value.handle, octets), 'a write without response');
  await trial.pass(quiet);
  await isUnchanged(trial, value, before, mark);
}

/** What the board holds before, brought there by its console or over a link that is secure enough. */
async function held(trial: Trial, value: ValueDefinition): Promise<Uint8Array | undefined> {
  const octets = allowedSamples(value.type)[0]?.bytes;
  if (octets === undefined) return undefined;
  const owner = await trial.connectFor(value, 'second');
  await trial.hold(owner, value, octets);
  await trial.leave(owner);
  // The board may have taken it to its failsafe value when the owner left.
  const { onLinkLoss } = value;
  if (onLinkLoss.kind === 'set') {
    await trial.pass(onLinkLoss.within);
    await trial.pass(quiet);
    return onLinkLoss.raw;
  }
  return octets;
}

async function isUnchanged(
  trial: Trial,
  value: ValueDefinition,
  before: Uint8Array | undefined,
  mark: number,
): Promise<void> {
  if (before === undefined) return;
  const owner = await trial.connectFor(value, 'second');
  await trial.mustBeUnchanged(owner, value, before, mark);
}

async function subscriptionIsRefused(trial: Trial, value: ValueDefinition, level: Need): Promise<void> {
  const client = await connectAt(trial, level);
  const cccd = value.cccd ?? 0;
  const bits = value.access.includes('notify') ? 1 : 2;
  await client.mustRefuse(writeRequest(cccd, Uint8Array.of(bits, 0)), cccd, refused, 'subscribing');
  await mustBeConfigured(trial, client, value, 0, 'the subscription stays off');
}

async function mustBeConfigured(
  trial: Trial,
  client: Client,
  value: ValueDefinition,
  bits: number,
  expected: string,
): Promise<void> {
  const target = attributeAt(value.cccd ?? 0, attributeType.clientConfiguration);
  const read = await client.mustRead(target, 'the subscription');
  trial.observe(equalBytes(read, Uint8Array.of(bits, 0)), `${expected}: 0${bits} 00`, hexWords(read));
}

async function isGranted(trial: Trial, value: ValueDefinition): Promise<void> {
  const { access } = value;
  if (access.includes('read')) {
    const client = await connectAt(trial, value.needs.read);
    await trial.read(client, value);
    await trial.leave(client);
  }
  if (access.includes('write')) {
    const client = await connectAt(trial, value.needs.write);
    const octets = allowedSamples(value.type)[0]?.bytes;
    if (octets !== undefined) await trial.write(client, value, octets);
    await trial.leave(client);
  }
  if (access.includes('write-without-response') && trial.truth !== undefined) {
    const client = await connectAt(trial, value.needs.write);
    await takesCommand(trial, client, value);
    await trial.leave(client);
  }
  if (value.cccd !== undefined) {
    const client = await connectAt(trial, value.needs.subscribe);
    await client.mustSubscribe(value, access.includes('notify') ? 'notify' : 'indicate');
  }
}

/** A write without response arrives, as far as the console tells; the link may be too weak to read it back. */
async function takesCommand(trial: Trial, client: Client, value: ValueDefinition): Promise<void> {
  const [before, octets] = steps(value.type, 2, defaultMtu - 3) ?? [];
  if (before === undefined || octets === undefined) return;
  await trial.set(value, before);
  await client.mustWriteWithoutResponse(value, octets);
  await trial.pass(quiet);
  const now = await trial.truthOf(value);
  const right = now !== undefined && equalBytes(now, octets);
  trial.claim(right, `${hexWords(octets)} arrives when it is sent without response`, 'it does not');
}

/** Every bond of a case is a new client's: nothing of an earlier case hangs on to it. */
function bondedAs(level: Need): LinkSecurity {
  const security = securityFor(level === 'open' ? 'encrypted' : level);
  return { ...security, bonded: true };
}

async function asksForEncryption(trial: Trial, value: ValueDefinition): Promise<void> {
  const identity = `bonded to read ${value.id}`;
  const before = await trial.connect({ identity, security: bondedAs(value.needs.read) });
  await trial.read(before, value);
  await trial.leave(before);
  const client = await trial.connect({ identity });
  const code = attError.insufficientEncryption;
  await client.mustRefuse(readRequest(value.handle), value.handle, code, 'reading before the link is encrypted');
}

function bondDrafts(value: ValueDefinition): readonly Draft[] {
  const { id: subject, label, at: place } = value;
  return [
    {
      subject,
      kind: 'kept',
      about: `A bonded client finds its subscription of ${label} as it left it.`,
      place,
      requires: ['handles', 'security'],
      run: (trial) => keepsSubscription(trial, value),
    },
    ...when(value.needs.subscribe !== 'open' && steps(value.type, 2) !== undefined, {
      subject,
      kind: 'withheld',
      about: `A bonded client gets ${label} only when the link is secure again.`,
      place,
      requires: ['raw-pdu', 'security', 'console'],
      run: (trial) => withholds(trial, value),
    }),
  ];
}

async function keepsSubscription(trial: Trial, value: ValueDefinition): Promise<void> {
  const identity = `bonded for ${value.id}`;
  const security = bondedAs(needOf(value));
  const mode = value.access.includes('notify') ? 'notify' : 'indicate';
  const bits = mode === 'notify' ? 1 : 2;
  const before = await trial.connect({ identity, security });
  await before.mustSubscribe(value, mode);
  await trial.leave(before);
  const client = await trial.connect({ identity, security });
  await mustBeConfigured(trial, client, value, bits, 'the subscription is still on');
  await client.mustSubscribe(value, 'off');
  await trial.leave(client);
  const again = await trial.connect({ identity, security });
  await mustBeConfigured(trial, again, value, 0, 'once off, it is still off');
}

async function withholds(trial: Trial, value: ValueDefinition): Promise<void> {
  const identity = `bonded to get ${value.id}`;
  const security = bondedAs(needOf(value));
  const before = await trial.connect({ identity, security });
  await before.mustSubscribe(value, value.access.includes('notify') ? 'notify' : 'indicate');
  await trial.leave(before);
  const client = await trial.connect({ identity });
  await nudge(trial, client, value);
  await trial.pass(patience(trial, value));
  const early = (client.connection?.transcript ?? []).find(
    ({ from, pdu }) =>
      from === 'board' && (pdu[0] === opcode.handleValueNotification || pdu[0] === opcode.handleValueIndication),
  );
  const seen = early === undefined ? undefined : `it sends ${hexWords(early.pdu)}`;
  trial.claim(early === undefined, 'nothing is sent while the link is open', seen);
  await trial.secure(client, security);
  await nudge(trial, client, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'it is sent once the link is secure', 'nothing came');
  await client.mustSubscribe(value, 'off');
}
