import { equalBytes, noBytes, type Bytes } from '../../base/bytes.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Reach } from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import type { Case } from '../case.ts';
import { quiet, type Client } from '../client.ts';
import { makeCases, when, type Draft } from '../make-case.ts';
import { nudge, patience, spacingOf } from '../pace.ts';
import { attributeAt } from '../remote.ts';
import { allowedSamples, otherThan, steps } from '../samples.ts';
import { needOf, reachesFor } from '../secure.ts';
import { slackOf, type Trial } from '../trial.ts';
import { hexWords, timeWords, valueWords } from '../words.ts';
import { executeWrite, executeWriteResponse, prepareWrite } from '../wire.ts';

/** How a link ends: by supervision timeout, or with a goodbye. */
type End = 'lose' | 'leave';

/** Is the board safe and ready when the link is lost. */
export function linkLossCases(table: Table): readonly Case[] {
  return makeCases('link-loss', [...table.values.flatMap((value) => valueDrafts(table, value)), ...boardDrafts(table)]);
}

function valueDrafts(table: Table, value: ValueDefinition): readonly Draft[] {
  const { id: subject, label, at: place, onLinkLoss, type } = value;
  if (onLinkLoss.kind === 'unsaid' || steps(type, 2) === undefined) return [];
  const requires: readonly Reach[] = [...reachesFor(value), 'console'];
  const base = { subject, place };
  if (onLinkLoss.kind === 'keep') {
    return [
      {
        ...base,
        kind: 'keeps-after-loss',
        about: `When the link is lost, ${label} stays as it is.`,
        requires: [...requires, 'link-loss'],
        run: (trial) => keeps(trial, value, 'lose'),
      },
      {
        ...base,
        kind: 'keeps-after-goodbye',
        about: `When the client leaves, ${label} stays as it is.`,
        requires,
        run: (trial) => keeps(trial, value, 'leave'),
      },
    ];
  }
  const goal = valueWords(type, onLinkLoss.raw);
  const within = onLinkLoss.within === 0 ? 'at once' : `within ${timeWords(onLinkLoss.within)}`;
  const timeout = table.radio.connection.timeout;
  return [
    {
      ...base,
      kind: 'safe-after-loss',
      about: `When the link is lost (noticed after ${timeWords(timeout)}), ${label} goes to ${goal} ${within}, and stays there.`,
      requires: [...requires, 'link-loss'],
      run: (trial) => goesSafe(trial, value, 'lose'),
    },
    {
      ...base,
      kind: 'safe-after-goodbye',
      about: `When the client leaves, ${label} goes to ${goal} ${within}, and stays there.`,
      requires,
      run: (trial) => goesSafe(trial, value, 'leave'),
    },
    {
      ...base,
      kind: 'not-while-connected',
      about: `As long as a client is connected, ${label} stays as it was written, even when the client says nothing.`,
      requires,
      run: (trial) => staysWhileConnected(trial, value),
    },
    {
      ...base,
      kind: 'not-while-another-stays',
      about: `When one of two clients leaves, ${label} stays as it is.`,
      requires: [...requires, 'second-client'],
      run: (trial) => staysWhileAnother(trial, value),
    },
    ...when(onLinkLoss.within >= 4 * quiet, {
      ...base,
      kind: 'in-spite-of-return',
      about: `A client that only connects again does not keep ${label} from going to ${goal}.`,
      requires,
      run: (trial) => goesSafeInSpiteOfReturn(trial, value),
    }),
    ...when(onLinkLoss.within >= 4 * quiet && value.access.includes('write'), {
      ...base,
      kind: 'command-after-return',
      about: `When a client connects again and writes ${label} in time, its value stands.`,
      requires,
      run: (trial) => yieldsToReturn(trial, value),
    }),
  ];
}

/** Brings the value somewhere that is not the failsafe, the way a user does: over the air if it can be written. */
async function command(trial: Trial, client: Client, value: ValueDefinition, octets: Bytes): Promise<void> {
  if (value.access.includes('write')) await trial.write(client, value, octets);
  else await trial.set(value, octets);
}

function failsafeOf(value: ValueDefinition): { readonly raw: Bytes; readonly within: Microseconds } {
  return value.onLinkLoss.kind === 'set' ? value.onLinkLoss : { raw: value.start, within: us(0) };
}

/** Ends the connection; gives how long the board may take to notice: a goodbye is on its way for a while. */
async function end(trial: Trial, client: Client, how: End): Promise<Microseconds> {
  const begun = trial.now;
  if (how === 'leave') await trial.leave(client);
  else await trial.lose(client);
  return how === 'leave' ? us(trial.now - begun) : trial.table.radio.connection.timeout;
}

async function goesSafe(trial: Trial, value: ValueDefinition, how: End): Promise<void> {
  const { raw, within } = failsafeOf(value);
  const octets = otherThan(value.type, raw) ?? noBytes;
  const client = await trial.connectFor(value);
  await command(trial, client, value, octets);
  const before = await trial.truthOf(value);
  const held = before !== undefined && equalBytes(before, octets);
  trial.observe(held, `the board holds ${valueWords(value.type, octets)} while connected`, wordsOf(value, before));
  const mark = trial.mark();
  const left = trial.now;
  const notice = await end(trial, client, how);
  await trial.pass(us(notice + within + slackOf(trial.link)));
  const safe = await trial.truthOf(value);
  const right = safe !== undefined && equalBytes(safe, raw);
  const limit = timeWords(notice + within);
  trial.observe(right, `${valueWords(value.type, raw)} at most ${limit} after the link's end`, wordsOf(value, safe));
  const reached = trial.truth?.changes(value.id, mark).find((told) => equalBytes(told.value, raw));
  if (reached !== undefined) {
    const taken = reached.at - left;
    const inTime = taken <= notice + within + slackOf(trial.link);
    trial.observe(inTime, `at most ${limit} after the link's end`, `after ${timeWords(taken)}`);
  }
  await trial.pass(us(2_000_000));
  const later = await trial.truthOf(value);
  const stays = later !== undefined && equalBytes(later, raw);
  trial.observe(stays, `still ${valueWords(value.type, raw)} 2 s later`, wordsOf(value, later));
}

function wordsOf(value: ValueDefinition, octets: Bytes | undefined): string {
  return octets === undefined ? 'no answer on the console' : valueWords(value.type, octets);
}

async function staysWhileConnected(trial: Trial, value: ValueDefinition): Promise<void> {
  const { raw, within } = failsafeOf(value);
  const octets = otherThan(value.type, raw) ?? noBytes;
  const client = await trial.connectFor(value);
  await command(trial, client, value, octets);
  const mark = trial.mark();
  await trial.pass(us(trial.table.radio.connection.timeout + within + 1_000_000));
  await mustNotFail(trial, value, octets, mark);
}

/** Claims that no failsafe worked since the mark and that the value stands, unless the world moved it. */
async function mustNotFail(trial: Trial, value: ValueDefinition, octets: Bytes, mark: number): Promise<void> {
  const failed = trial.truth?.changes(value.id, mark).find((told) => told.cause === 'failsafe');
  const seen = failed === undefined ? undefined : `it went to ${valueWords(value.type, failed.value)}`;
  trial.claim(failed === undefined, 'no failsafe works', seen);
  const moved = trial.truth?.changes(value.id, mark).some((told) => told.cause === 'rig') ?? false;
  const now = await trial.truthOf(value);
  const right = moved || (now !== undefined && equalBytes(now, octets));
  trial.observe(right, `the board holds ${valueWords(value.type, octets)}`, wordsOf(value, now));
}

async function staysWhileAnother(trial: Trial, value: ValueDefinition): Promise<void> {
  const { raw, within } = failsafeOf(value);
  const octets = otherThan(value.type, raw) ?? noBytes;
  const client = await trial.connectFor(value);
  const other = await trial.connectFor(value, 'second');
  await command(trial, client, value, octets);
  const mark = trial.mark();
  await trial.leave(client);
  await trial.pass(us(within + 1_000_000));
  await mustNotFail(trial, value, octets, mark);
  trial.claim(other.isOpen, 'the other client is still connected', 'its link ended');
}

async function goesSafeInSpiteOfReturn(trial: Trial, value: ValueDefinition): Promise<void> {
  const { raw, within } = failsafeOf(value);
  const octets = otherThan(value.type, raw) ?? noBytes;
  const client = await trial.connectFor(value);
  await command(trial, client, value, octets);
  await trial.leave(client);
  await trial.pass(quiet);
  await trial.connectFor(value);
  await trial.pass(us(within + slackOf(trial.link)));
  const safe = await trial.truthOf(value);
  const right = safe !== undefined && equalBytes(safe, raw);
  trial.observe(right, `${valueWords(value.type, raw)} although a client is back`, wordsOf(value, safe));
}

async function yieldsToReturn(trial: Trial, value: ValueDefinition): Promise<void> {
  const { raw, within } = failsafeOf(value);
  const samples = allowedSamples(value.type).filter(({ bytes }) => !equalBytes(bytes, raw));
  const first = samples[0]?.bytes ?? noBytes;
  const second = samples[1]?.bytes ?? first;
  const client = await trial.connectFor(value);
  await command(trial, client, value, first);
  await trial.leave(client);
  await trial.pass(quiet);
  const again = await trial.connectFor(value);
  await again.mustWrite(value, second);
  const mark = trial.mark();
  await trial.pass(us(within + slackOf(trial.link)));
  await mustNotFail(trial, value, second, mark);
}

async function keeps(trial: Trial, value: ValueDefinition, how: End): Promise<void> {
  const client = await trial.connectFor(value);
  // Unlike the value at power-up: a board that starts anew when a client leaves or comes is found out.
  const octets = otherThan(value.type, value.start) ?? value.start;
  await command(trial, client, value, octets);
  const mark = trial.mark();
  const notice = await end(trial, client, how);
  await trial.pass(us(notice + 3_000_000));
  await mustNotFail(trial, value, octets, mark);
  await trial.connectFor(value);
  await mustNotFail(trial, value, octets, mark);
}

/** What holds for the board as a whole. */
function boardDrafts(table: Table): readonly Draft[] {
  const place = table.radio.connection.where.self;
  const told = quickest(table.values.filter((value) => value.cccd !== undefined && needOf(value) === 'open'));
  const written = table.values.find(
    (value) => value.access.includes('write') && needOf(value) === 'open' && steps(value.type, 2) !== undefined,
  );
  const base = { subject: 'board', place };
  const mtu = table.radio.connection.mtu;
  return [
    {
      ...base,
      kind: 'advertises-again',
      about: 'After a lost link the board advertises again, and takes a client.',
      requires: ['link-loss', 'advertising'],
      run: async (trial) => {
        await trial.lose(await trial.connect());
        await trial.pass(us(table.radio.connection.timeout + 1_000_000));
        const seen = await trial.link.advertisement();
        trial.claim(seen !== undefined, 'the board advertises 1 s after it has noticed', 'it does not');
        const again = await trial.connect();
        trial.claim(again.isOpen, 'the new connection stands', 'it ended at once');
      },
    },
    {
      ...base,
      kind: 'mtu-again',
      about: `After a lost link a new connection begins with an MTU of ${defaultMtu}.`,
      requires: ['link-loss', 'raw-pdu', 'mtu'],
      run: async (trial) => {
        const client = await trial.connect();
        await client.mustExchangeMtu(mtu);
        await trial.lose(client);
        await trial.pass(us(table.radio.connection.timeout + 1_000_000));
        const again = await trial.connect();
        const agreed = await again.mustExchangeMtu(mtu);
        trial.observe(agreed === mtu, `an exchange of its own, to ${mtu}`, String(agreed));
      },
    },
    ...when(told !== undefined, {
      ...base,
      kind: 'subscriptions-cleared',
      about: 'After a lost link a client without a bond is subscribed to nothing.',
      requires: ['link-loss', 'handles', 'console'],
      run: (trial) => clearsSubscription(trial, told),
    }),
    ...when(written !== undefined, {
      ...base,
      kind: 'parts-dropped',
      about: 'Parts that were prepared before the link was lost are gone.',
      requires: ['link-loss', 'raw-pdu', 'console'],
      run: (trial) => dropsParts(trial, written),
    }),
    ...when(told !== undefined, {
      ...base,
      kind: 'other-client-served',
      about: 'When the link to one of two clients is lost, the other keeps its subscription and its MTU.',
      requires: ['link-loss', 'second-client', 'mtu', 'console'],
      run: (trial) => servesOther(trial, told, mtu),
    }),
  ];
}

/** The value that is told soonest after it changed. */
function quickest(values: readonly ValueDefinition[]): ValueDefinition | undefined {
  return [...values].sort((a, b) => spacingOf(a) - spacingOf(b))[0];
}

function modeOf(value: ValueDefinition): 'notify' | 'indicate' {
  return value.access.includes('notify') ? 'notify' : 'indicate';
}

async function clearsSubscription(trial: Trial, value: ValueDefinition | undefined): Promise<void> {
  if (value === undefined) return;
  const client = await trial.connect();
  await client.mustSubscribe(value, modeOf(value));
  await trial.lose(client);
  await trial.pass(us(trial.table.radio.connection.timeout + 1_000_000));
  const again = await trial.connect();
  const target = attributeAt(value.cccd ?? 0, attributeType.clientConfiguration);
  const read = await again.mustRead(target, 'the subscription');
  trial.observe(equalBytes(read, Uint8Array.of(0, 0)), 'the subscription is off: 00 00', hexWords(read));
  await nudge(trial, again, value);
  await trial.pass(patience(trial, value));
  const [event] = again.values;
  const seen = event === undefined ? undefined : `${hexWords(event.value)} came`;
  trial.claim(event === undefined, 'nothing comes unasked', seen);
}

async function dropsParts(trial: Trial, value: ValueDefinition | undefined): Promise<void> {
  if (value === undefined) return;
  const [before = noBytes, after = noBytes] = steps(value.type, 2) ?? [];
  const client = await trial.connect();
  await trial.hold(client, value, before);
  await client.mustAnswer(prepareWrite(value.handle, 0, after.subarray(0, defaultMtu - 5)), 'a prepared part');
  await trial.lose(client);
  await trial.pass(us(trial.table.radio.connection.timeout + failsafeOf(value).within + 1_000_000));
  const now = await trial.truthOf(value);
  const mark = trial.mark();
  const again = await trial.connect();
  await again.mustAnswerWith(executeWrite(true), executeWriteResponse, 'executing nothing works');
  if (now !== undefined) await trial.mustBeUnchanged(again, value, now, mark);
}

async function servesOther(trial: Trial, value: ValueDefinition | undefined, mtu: number): Promise<void> {
  if (value === undefined) return;
  const client = await trial.connect();
  const other = await trial.connect({ identity: 'second' });
  const agreed = await other.mustExchangeMtu(mtu);
  await other.mustSubscribe(value, modeOf(value));
  await trial.lose(client);
  await trial.pass(us(trial.table.radio.connection.timeout + 1_000_000));
  const before = other.valuesOf(value).length;
  await nudge(trial, other, value);
  const came = await other.waitForValues(value, before + 1, patience(trial, value));
  trial.claim(came, 'the other client still gets its values', 'nothing came');
  trial.observe(other.mtu === agreed, `its MTU is still ${agreed}`, String(other.mtu));
}
