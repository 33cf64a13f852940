import { equalBytes, type Bytes } from '../../base/bytes.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Reach, ValueEvent } from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import type { Client } from '../client.ts';
import { when, type Draft } from '../make-case.ts';
import { isSent, mustKeepSpacing, mustTellChanges, type Stretch } from '../publication-check.ts';
import { attributeAt } from '../remote.ts';
import { longestOf, otherThan, steps } from '../samples.ts';
import { reachesFor } from '../secure.ts';
import type { Trial } from '../trial.ts';
import { count, hexWords, timeWords, valueWords } from '../words.ts';

/** What the families `notifications` and `indications` have in common. */
export type Mode = 'notify' | 'indicate';

const modeWords: Readonly<Record<Mode, { readonly one: string; readonly sent: string; readonly bit: number }>> = {
  notify: { one: 'notification', sent: 'notified', bit: 1 },
  indicate: { one: 'indication', sent: 'indicated', bit: 2 },
};

export function publicationDrafts(table: Table, value: ValueDefinition, mode: Mode): readonly Draft[] {
  const { id: subject, label, at: place, type, notify } = value;
  if (notify === undefined) return [];
  const { one, sent } = modeWords[mode];
  const requires = reachesFor(value);
  const withConsole: readonly Reach[] = [...requires, 'console'];
  const changeable = steps(type, 2) !== undefined;
  const onChange = notify.on.kind === 'change';
  return [
    {
      subject,
      kind: 'cccd',
      about: `The subscription of ${label} is off at first, and reads back as it is set.`,
      place,
      requires: [...requires, 'handles'],
      run: (trial) => configurationReads(trial, value, mode),
    },
    ...when(onChange && changeable, {
      subject,
      kind: 'change',
      about: `Each change of ${label} is ${sent} once, and with the truth.`,
      place,
      requires: withConsole,
      run: (trial) => tellsChanges(trial, value, mode),
    }),
    ...when(onChange && changeable, {
      subject,
      kind: 'no-change',
      about: `When ${label} is set to the value it has, nothing is ${sent}.`,
      place,
      requires: withConsole,
      run: (trial) => isSilentWithoutChange(trial, value, mode),
    }),
    ...when(onChange && changeable && notify.minSpacing !== undefined, {
      subject,
      kind: 'rate',
      about: `When ${label} changes faster than the contract's rate, ${one}s keep to it and the latest value wins.`,
      place,
      requires: withConsole,
      run: (trial) => keepsRate(trial, value, mode),
    }),
    ...when(notify.on.kind === 'every', {
      subject,
      kind: 'period',
      about: `${label} is ${sent} every ${timeWords(periodOf(value))}, changed or not, with the truth.`,
      place,
      requires: withConsole,
      run: (trial) => keepsPeriod(trial, value, mode),
    }),
    {
      subject,
      kind: 'unasked',
      about: `Who has not subscribed to ${label} gets none.`,
      place,
      requires: withConsole,
      run: (trial) => isSilentUnasked(trial, value),
    },
    {
      subject,
      kind: 'stops',
      about: `After unsubscribing from ${label} nothing comes any more.`,
      place,
      requires: withConsole,
      run: (trial) => stops(trial, value, mode),
    },
    {
      subject,
      kind: 'after-response',
      about: `The first ${one} of ${label} comes after the subscription was answered, and it is not stale.`,
      place,
      requires: [...withConsole, 'raw-pdu'],
      run: (trial) => waitsForResponse(trial, value, mode),
    },
    {
      subject,
      kind: 'forgotten',
      about: `Who connects again without a bond is not subscribed to ${label} any more.`,
      place,
      requires: withConsole,
      run: (trial) => isForgotten(trial, value, mode),
    },
    {
      subject,
      kind: 'only-whom-asked',
      about: `When one client subscribes to ${label}, another one gets nothing.`,
      place,
      requires: [...withConsole, 'second-client'],
      run: (trial) => goesToSubscriber(trial, value, mode),
    },
    {
      subject,
      kind: 'to-both',
      about: `Two clients that subscribed to ${label} both get it, and one goes on when the other unsubscribes.`,
      place,
      requires: [...withConsole, 'second-client'],
      run: (trial) => goesToBoth(trial, value, mode),
    },
    ...when(value.maxLength > defaultMtu - 3 && changeable, {
      subject,
      kind: 'long',
      about: `A ${label} longer than one packet is ${sent} as its beginning; with a larger MTU more of it comes.`,
      place,
      requires: [...withConsole, 'mtu'],
      run: (trial) => sendsBeginning(trial, table, value, mode),
    }),
    ...when(onChange && changeable && value.access.includes('write'), {
      subject,
      kind: 'air-write',
      about: `A ${label} that a client writes is ${sent} to whoever subscribed.`,
      place,
      requires,
      run: (trial) => tellsWrites(trial, value, mode),
    }),
  ];
}

/** How long a value may be on its way: the contract's rate or period, two connection events, and a little. */
export function patience(trial: Trial, value: ValueDefinition): Microseconds {
  const { interval, latency } = trial.table.radio.connection;
  const computing = trial.link.reaches.has('virtual-time') ? 20_000 : 1_000_000;
  return us(spacingOf(value) + 2 * interval.max * (latency + 1) + computing);
}

function periodOf(value: ValueDefinition): Microseconds {
  return value.notify?.on.kind === 'every' ? value.notify.on.period : us(0);
}

/** The shortest time between two values that the contract allows. */
export function spacingOf(value: ValueDefinition): number {
  return Math.max(value.notify?.minSpacing ?? 0, periodOf(value));
}

/** Makes the value change, so that there is something to tell; a board that sends by period needs no push. */
export async function nudge(trial: Trial, value: ValueDefinition): Promise<void> {
  const now = await trial.truthOf(value);
  const other = now === undefined ? undefined : otherThan(value.type, now);
  if (other !== undefined) await trial.set(value, other);
}

async function configurationReads(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  const target = attributeAt(value.cccd ?? 0, attributeType.clientConfiguration);
  const mustBe = async (octet: number, whenever: string): Promise<void> => {
    const read = await client.mustRead(target, 'the subscription');
    trial.observe(equalBytes(read, Uint8Array.of(octet, 0)), `0${octet} 00 ${whenever}`, hexWords(read));
  };
  await mustBe(0, 'at first');
  await client.mustSubscribe(value, mode);
  await mustBe(modeWords[mode].bit, 'when subscribed');
  await client.mustSubscribe(value, 'off');
  await mustBe(0, 'when unsubscribed');
}

async function tellsChanges(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  const now = await trial.truthOf(value);
  const mark = trial.mark();
  await client.mustSubscribe(value, mode);
  // A value that may come only once a minute is not asked for four changes.
  const wanted = spacingOf(value) > slow ? 2 : 4;
  const row = (steps(value.type, wanted + 1) ?? []).filter((octets, i) => i > 0 || !equalBytes(octets, now ?? octets));
  for (const octets of row.slice(0, wanted)) {
    const before = client.valuesOf(value).length;
    await trial.set(value, octets);
    const came = await client.waitForValues(value, before + 1, patience(trial, value));
    trial.claim(came, `a change is told within ${timeWords(patience(trial, value))}`, 'nothing came');
  }
  await settle(trial, value);
  mustTellChanges(trial, value, stretchOf(trial, client, value, mark));
  mustBeKind(trial, client.valuesOf(value), mode);
}

function stretchOf(trial: Trial, client: Client, value: ValueDefinition, mark: number): Stretch {
  return {
    changes: trial.truth?.changes(value.id, mark) ?? [],
    events: client.valuesOf(value),
    room: client.mtu - 3,
    patience: patience(trial, value),
  };
}

/** Beyond this spacing cases make do with fewer values. */
const slow = us(5_000_000);

/** Lets what is on its way arrive: none of the values that came may be missing from the account. */
async function settle(trial: Trial, value: ValueDefinition): Promise<void> {
  await trial.pass(patience(trial, value));
}

function mustBeKind(trial: Trial, events: readonly ValueEvent[], mode: Mode): void {
  const kind = mode === 'notify' ? 'notification' : 'indication';
  const other = events.find((event) => event.kind !== kind);
  trial.claim(
    other === undefined,
    `each comes as ${kind}`,
    other === undefined ? undefined : `one came as ${other.kind}`,
  );
}

async function isSilentWithoutChange(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  await client.mustSubscribe(value, mode);
  await nudge(trial, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'a change is told', 'nothing came');
  await settle(trial, value);
  const mark = trial.mark();
  const before = client.valuesOf(value).length;
  const held = await trial.truthOf(value);
  for (let i = 0; i < 3 && held !== undefined; i++) await trial.set(value, held);
  await settle(trial, value);
  const changes = trial.truth?.changes(value.id, mark).length ?? 0;
  const more = client.valuesOf(value).length - before;
  trial.observe(more <= changes, `no more values than changes: ${changes}`, count(more, 'value'));
}

async function keepsRate(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const spacing = value.notify?.minSpacing ?? us(0);
  const client = await trial.connectFor(value);
  const mark = trial.mark();
  await client.mustSubscribe(value, mode);
  const windows = spacing > slow ? 1 : 4;
  const eachWindow = 5;
  const row = steps(value.type, windows * eachWindow) ?? [];
  for (const octets of row) {
    await trial.set(value, octets);
    await trial.pass(us(Math.ceil(spacing / eachWindow)));
  }
  await settle(trial, value);
  const events = client.valuesOf(value);
  trial.claim(events.length > 0, 'some of the values come', 'none came');
  mustKeepSpacing(trial, value, events);
  mustTellChanges(trial, value, stretchOf(trial, client, value, mark));
}

async function keepsPeriod(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const period = us(spacingOf(value));
  const client = await trial.connectFor(value);
  const start = await trial.truthOf(value);
  const mark = trial.mark();
  await client.mustSubscribe(value, mode);
  const wanted = period > slow ? 2 : 6;
  await trial.pass(us(wanted * period + patience(trial, value) - spacingOf(value)));
  const events = client.valuesOf(value);
  trial.observe(
    events.length >= wanted,
    `at least ${wanted} values in ${wanted} periods`,
    count(events.length, 'value'),
  );
  const slack = Math.min(trial.table.radio.connection.interval.max, period / 2);
  for (const [i, event] of events.entries()) {
    const before = events[i - 1];
    const gap = before === undefined ? period : event.at - before.at;
    const right = Math.abs(gap - period) <= slack;
    trial.claim(right, `${timeWords(period)} from one value to the next`, timeWords(gap));
    const held = trial.truth?.changes(value.id, mark).map((told) => told.value) ?? [];
    const true_ = [start, ...held].some(
      (octets) => octets !== undefined && isSent(octets, event.value, client.mtu - 3),
    );
    trial.observe(true_, 'each value was the truth', valueWords(value.type, event.value));
  }
  // A value that nothing moves comes all the same.
  mustBeKind(trial, events, mode);
}

async function isSilentUnasked(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  await nudge(trial, value);
  await settle(trial, value);
  mustBeSilent(trial, client.values, 'nothing comes without a subscription');
}

function mustBeSilent(trial: Trial, events: readonly ValueEvent[], expected: string): void {
  const [first] = events;
  const seen =
    first === undefined ? undefined : `${count(events.length, 'value')} came, the first ${hexWords(first.value)}`;
  trial.claim(first === undefined, expected, seen);
}

async function stops(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  await client.mustSubscribe(value, mode);
  await nudge(trial, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'a value comes while subscribed', 'nothing came');
  await client.mustSubscribe(value, 'off');
  const before = client.valuesOf(value).length;
  await nudge(trial, value);
  await settle(trial, value);
  mustBeSilent(trial, client.valuesOf(value).slice(before), 'nothing comes after unsubscribing');
}

async function waitsForResponse(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  // A change just before the subscription must not be told as if it came after.
  await nudge(trial, value);
  const held = await trial.truthOf(value);
  const mark = trial.mark();
  await client.mustSubscribe(value, mode);
  await nudge(trial, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'a value comes', 'nothing came');
  const pdus = (client.connection?.transcript ?? []).filter((crossed) => crossed.from === 'board');
  const response = pdus.findIndex(({ pdu }) => pdu[0] === opcode.writeResponse);
  const first = pdus.findIndex(
    ({ pdu }) => pdu[0] === opcode.handleValueNotification || pdu[0] === opcode.handleValueIndication,
  );
  const right = response >= 0 && first > response;
  trial.claim(right, 'the answer to the subscription comes first', 'a value came before it');
  const [event] = client.valuesOf(value);
  const changes = trial.truth?.changes(value.id, mark).map((told) => told.value) ?? [];
  const fresh = value.notify?.on.kind === 'every' ? [held, ...changes] : changes;
  const current =
    event !== undefined && fresh.some((octets) => octets !== undefined && isSent(octets, event.value, client.mtu - 3));
  const seen = event === undefined ? 'nothing' : valueWords(value.type, event.value);
  trial.observe(current, 'the first value is one of after the subscription', seen);
}

async function isForgotten(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const before = await trial.connectFor(value);
  await before.mustSubscribe(value, mode);
  await trial.leave(before);
  const client = await trial.connectFor(value);
  await nudge(trial, value);
  await settle(trial, value);
  mustBeSilent(trial, client.values, 'nothing comes on the new connection');
}

async function goesToSubscriber(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  const other = await trial.connectFor(value, 'second');
  await client.mustSubscribe(value, mode);
  await nudge(trial, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'the client that subscribed gets the value', 'nothing came');
  await settle(trial, value);
  mustBeSilent(trial, other.values, 'the other client gets nothing');
}

async function goesToBoth(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const first = await trial.connectFor(value);
  const second = await trial.connectFor(value, 'second');
  await first.mustSubscribe(value, mode);
  await second.mustSubscribe(value, mode);
  await nudge(trial, value);
  for (const [client, which] of [
    [first, 'first'],
    [second, 'second'],
  ] as const) {
    const came = await client.waitForValues(value, 1, patience(trial, value));
    trial.claim(came, `the ${which} client gets the value`, 'nothing came');
  }
  await first.mustSubscribe(value, 'off');
  const before = second.valuesOf(value).length;
  await nudge(trial, value);
  const came = await second.waitForValues(value, before + 1, patience(trial, value));
  trial.claim(came, 'the second goes on when the first unsubscribes', 'nothing came any more');
}

async function sendsBeginning(trial: Trial, table: Table, value: ValueDefinition, mode: Mode): Promise<void> {
  const octets = longestOf(value.type);
  const other = otherThan(value.type, octets) ?? octets;
  const sendsOn = async (client: Client): Promise<void> => {
    await trial.set(value, other);
    await settle(trial, value);
    const before = client.valuesOf(value).length;
    const mark = trial.mark();
    await trial.set(value, octets);
    await client.waitForValues(value, before + 1, patience(trial, value));
    mustBeBeginning(trial, client, value, octets, { mark, before });
  };
  const client = await trial.connectFor(value);
  await client.mustSubscribe(value, mode);
  await sendsOn(client);
  const wished = table.radio.connection.mtu;
  if (wished <= defaultMtu) return;
  await client.mustExchangeMtu(wished);
  await sendsOn(client);
}

/** Claims that what came since is the truth up to the packet's end; `octets` is what the console set. */
function mustBeBeginning(
  trial: Trial,
  client: Client,
  value: ValueDefinition,
  octets: Bytes,
  since: { readonly mark: number; readonly before: number },
): void {
  const room = client.mtu - 3;
  const truths = trial.truth?.changes(value.id, since.mark).map((told) => told.value) ?? [];
  const sent = client.valuesOf(value)[since.before]?.value;
  const right = sent !== undefined && truths.some((truth) => isSent(truth, sent, room));
  const expected = octets.subarray(0, room);
  const seen = sent === undefined ? 'nothing came' : `${count(sent.length, 'octet')}: ${hexWords(sent)}`;
  trial.observe(right, `the first ${count(expected.length, 'octet')}: ${hexWords(expected)}`, seen);
}

async function tellsWrites(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  const [first, second] = steps(value.type, 2, defaultMtu - 3) ?? steps(value.type, 2) ?? [];
  if (first === undefined || second === undefined) return;
  await trial.write(client, value, first);
  await client.mustSubscribe(value, mode);
  await trial.write(client, value, second);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  const [event] = client.valuesOf(value);
  const right = came && event !== undefined && isSent(second, event.value, client.mtu - 3);
  const seen = event === undefined ? 'nothing came' : valueWords(value.type, event.value);
  trial.observe(right, `${valueWords(value.type, second)} is told`, seen);
}
