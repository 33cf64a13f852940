import { equalBytes, type Bytes } from '../../base/bytes.ts';
import { us } from '../../base/quantity.ts';
import type { ValueEvent } from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import { attributeType } from '../../numbers/descriptors.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import type { Client } from '../client.ts';
import { nudge, patience, settle, slow, spacingOf } from '../pace.ts';
import { isSent, mustKeepSpacing, mustTellChanges, type Stretch } from '../publication-check.ts';
import { attributeAt } from '../remote.ts';
import { longestOf, otherThan, steps } from '../samples.ts';
import type { Trial } from '../trial.ts';
import { count, hexWords, timeWords, valueWords } from '../words.ts';

/** What the families `notifications` and `indications` have in common. */
export type Mode = 'notify' | 'indicate';

export const modeWords: Readonly<Record<Mode, { readonly one: string; readonly sent: string; readonly bit: number }>> =
  {
    notify: { one: 'notification', sent: 'notified', bit: 1 },
    indicate: { one: 'indication', sent: 'indicated', bit: 2 },
  };

export async function configurationReads(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
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

export async function tellsChanges(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  const mark = trial.mark();
  await client.mustSubscribe(value, mode);
  // A value that may come only once a minute is not asked for four changes.
  const wanted = spacingOf(value) > slow ? 2 : 4;
  const row = steps(value.type, wanted) ?? [];
  for (const octets of row) {
    const now = await trial.truthOf(value);
    const before = client.valuesOf(value).length;
    const same = now !== undefined && equalBytes(now, octets);
    await trial.set(value, same ? (otherThan(value.type, octets) ?? octets) : octets);
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

function mustBeKind(trial: Trial, events: readonly ValueEvent[], mode: Mode): void {
  const kind = mode === 'notify' ? 'notification' : 'indication';
  const other = events.find((event) => event.kind !== kind);
  trial.claim(
    other === undefined,
    `each comes as ${kind}`,
    other === undefined ? undefined : `one came as ${other.kind}`,
  );
}

export async function isSilentWithoutChange(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  const mark = trial.mark();
  await client.mustSubscribe(value, mode);
  await nudge(trial, client, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'a change is told', 'nothing came');
  await settle(trial, value);
  const held = await trial.truthOf(value);
  for (let i = 0; i < 3 && held !== undefined; i++) await trial.set(value, held);
  await settle(trial, value);
  mustTellChanges(trial, value, stretchOf(trial, client, value, mark));
}

export async function keepsRate(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
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

export async function keepsPeriod(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
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
    mustHaveBeenTrue(trial, client, value, event, { mark, before: start });
  }
  mustBeKind(trial, events, mode);
}

/** Claims that a value that came was the truth since `mark`; `before` was the truth there. Without a console nothing tells. */
export function mustHaveBeenTrue(
  trial: Trial,
  client: Client,
  value: ValueDefinition,
  event: ValueEvent | undefined,
  since: { readonly mark: number; readonly before: Bytes | undefined },
): void {
  if (trial.truth === undefined) return;
  const changes = trial.truth.changes(value.id, since.mark).map((told) => told.value);
  const truths = since.before === undefined ? changes : [since.before, ...changes];
  const right = event !== undefined && truths.some((octets) => isSent(octets, event.value, client.mtu - 3));
  const seen = event === undefined ? 'nothing' : valueWords(value.type, event.value);
  trial.observe(right, 'what comes is the truth of that time', seen);
}

export async function isSilentUnasked(trial: Trial, value: ValueDefinition): Promise<void> {
  const client = await trial.connectFor(value);
  await nudge(trial, client, value);
  await settle(trial, value);
  mustBeSilent(trial, client.values, 'nothing comes without a subscription');
}

function mustBeSilent(trial: Trial, events: readonly ValueEvent[], expected: string): void {
  const [first] = events;
  const seen =
    first === undefined ? undefined : `${count(events.length, 'value')} came, the first ${hexWords(first.value)}`;
  trial.claim(first === undefined, expected, seen);
}

export async function stops(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  await client.mustSubscribe(value, mode);
  await nudge(trial, client, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'a value comes while subscribed', 'nothing came');
  await client.mustSubscribe(value, 'off');
  const before = client.valuesOf(value).length;
  await nudge(trial, client, value);
  await settle(trial, value);
  mustBeSilent(trial, client.valuesOf(value).slice(before), 'nothing comes after unsubscribing');
}

export async function waitsForResponse(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  // A change just before the subscription must not be told as if it came after.
  await nudge(trial, client, value);
  const held = await trial.truthOf(value);
  const mark = trial.mark();
  const earlier = client.connection?.transcript.length ?? 0;
  await client.mustSubscribe(value, mode);
  await nudge(trial, client, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'a value comes', 'nothing came');
  const codes = (client.connection?.transcript ?? [])
    .slice(earlier)
    .flatMap(({ from, pdu }) => (from === 'board' ? [pdu[0]] : []));
  const response = codes.indexOf(opcode.writeResponse);
  const first = codes.findIndex(
    (code) => code === opcode.handleValueNotification || code === opcode.handleValueIndication,
  );
  const right = response >= 0 && first > response;
  trial.claim(right, 'the answer to the subscription comes first', 'a value came before it');
  const byPeriod = value.notify?.on.kind === 'every';
  mustHaveBeenTrue(trial, client, value, client.valuesOf(value)[0], { mark, before: byPeriod ? held : undefined });
}

export async function isForgotten(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const before = await trial.connectFor(value);
  await before.mustSubscribe(value, mode);
  await trial.leave(before);
  const client = await trial.connectFor(value);
  await nudge(trial, client, value);
  await settle(trial, value);
  mustBeSilent(trial, client.values, 'nothing comes on the new connection');
}

export async function goesToSubscriber(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  const other = await trial.connectFor(value, 'second');
  await client.mustSubscribe(value, mode);
  await nudge(trial, client, value);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'the client that subscribed gets the value', 'nothing came');
  await settle(trial, value);
  mustBeSilent(trial, other.values, 'the other client gets nothing');
}

export async function goesToBoth(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const first = await trial.connectFor(value);
  const second = await trial.connectFor(value, 'second');
  await first.mustSubscribe(value, mode);
  await second.mustSubscribe(value, mode);
  await nudge(trial, second, value);
  for (const [client, which] of [
    [first, 'first'],
    [second, 'second'],
  ] as const) {
    const came = await client.waitForValues(value, 1, patience(trial, value));
    trial.claim(came, `the ${which} client gets the value`, 'nothing came');
  }
  await first.mustSubscribe(value, 'off');
  const before = second.valuesOf(value).length;
  await nudge(trial, second, value);
  const came = await second.waitForValues(value, before + 1, patience(trial, value));
  trial.claim(came, 'the second goes on when the first unsubscribes', 'nothing came any more');
}

export async function sendsBeginning(trial: Trial, table: Table, value: ValueDefinition, mode: Mode): Promise<void> {
  const octets = longestOf(value.type);
  const other = otherThan(value.type, octets) ?? octets;
  const sendsOn = async (client: Client): Promise<void> => {
    await trial.set(value, other);
    await settle(trial, value);
    const before = client.valuesOf(value).length;
    const mark = trial.mark();
    await trial.set(value, octets);
    // What comes by period may have been on its way already: the next one is taken, too.
    const wanted = value.notify?.on.kind === 'every' ? 2 : 1;
    await client.waitForValues(value, before + wanted, us(wanted * patience(trial, value)));
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
  const came = client.valuesOf(value).slice(since.before);
  const right = came.some((event) => truths.some((truth) => isSent(truth, event.value, room)));
  const sent = came[came.length - 1]?.value;
  const expected = octets.subarray(0, room);
  const seen = sent === undefined ? 'nothing came' : `${count(sent.length, 'octet')}: ${hexWords(sent)}`;
  trial.observe(right, `the first ${count(expected.length, 'octet')}: ${hexWords(expected)}`, seen);
}

export async function tellsWrites(trial: Trial, value: ValueDefinition, mode: Mode): Promise<void> {
  const client = await trial.connectFor(value);
  const [first, second] = steps(value.type, 2, defaultMtu - 3) ?? steps(value.type, 2) ?? [];
  if (first === undefined || second === undefined) return;
  await trial.write(client, value, first);
  const mark = trial.mark();
  await client.mustSubscribe(value, mode);
  await trial.write(client, value, second);
  const came = await client.waitForValues(value, 1, patience(trial, value));
  trial.claim(came, 'a value that was written is told', 'nothing came');
  mustBeKind(trial, client.valuesOf(value), mode);
  if (trial.truth !== undefined) {
    mustTellChanges(trial, value, stretchOf(trial, client, value, mark));
    return;
  }
  const [event] = client.valuesOf(value);
  const right = event !== undefined && isSent(second, event.value, client.mtu - 3);
  const seen = event === undefined ? 'nothing came' : valueWords(value.type, event.value);
  trial.observe(right, `${valueWords(value.type, second)} is told`, seen);
}
