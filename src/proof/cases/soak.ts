import { equalBytes, type Bytes } from '../../base/bytes.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Reach } from '../../att/link.ts';
import { defaultMtu } from '../../att/pdu.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import type { Case } from '../case.ts';
import type { Client } from '../client.ts';
import { makeCases, type Draft } from '../make-case.ts';
import { isSent } from '../publication-check.ts';
import { isWholeWrite, refusedSamples } from '../refused-samples.ts';
import type { Sample } from '../sample.ts';
import { allowedSamples } from '../samples.ts';
import { needOf, reachesFor, securityFor, strongest } from '../secure.ts';
import type { Trial } from '../trial.ts';
import type { Mark } from '../truth.ts';
import { failureWords, timeWords, valueWords } from '../words.ts';

/** What the soak does at each step, as often as it stands here. */
const actions = [
  'read',
  'read',
  'read',
  'write',
  'write',
  'refuse',
  'set',
  'set',
  'subscribe',
  'unsubscribe',
  'wait',
  'wait',
  'drop',
] as const;

/** A value that comes may have been sent so long ago. */
const longestTransit = us(1_000_000);

const stepsToRest = 50;

/** Longest pause between two steps. */
const longestPause = us(1_500_000);

/**
 * Does all this hold for long: reads, writes, refusals, subscriptions and drops at random, truth compared with air at
 * every step.
 *
 * @param duration on the link's clock
 */
export function soakCases(table: Table, duration: Microseconds): readonly Case[] {
  const place = table.radio.connection.where.self;
  if (table.values.length === 0) return [];
  const reaches = new Set<Reach>(['console', ...table.values.flatMap(reachesFor)]);
  const draft: Draft = {
    subject: 'board',
    kind: 'mix',
    about: `For ${timeWords(duration)}, whatever a client does at random, truth and air agree.`,
    place,
    requires: [...reaches],
    run: (trial) => new Soak(trial).run(duration),
  };
  return makeCases('soak', [draft]);
}

class Soak {
  readonly #trial: Trial;
  readonly #samples: ReadonlyMap<ValueDefinition, readonly Sample[]>;
  readonly #refused: ReadonlyMap<ValueDefinition, readonly Sample[]>;
  readonly #writable: readonly ValueDefinition[];
  readonly #readable: readonly ValueDefinition[];
  readonly #told: readonly ValueDefinition[];
  #subscribed = new Set<ValueDefinition>();
  /** Values of the present connection that have been checked. */
  #checked = 0;
  /** Where the account of changes stood at the last steps, the oldest first. */
  readonly #marks: { readonly at: Microseconds; readonly mark: Mark }[] = [{ at: us(0), mark: 0 }];
  /** Truths before anything was told. */
  readonly #first = new Map<ValueDefinition, Bytes>();

  constructor(trial: Trial) {
    const { values } = trial.table;
    this.#trial = trial;
    this.#samples = new Map(values.map((value) => [value, allowedSamples(value.type)]));
    this.#refused = new Map(
      values.map((value) => [
        value,
        refusedSamples(value.type).filter((sample) => isWholeWrite(value.type, sample, defaultMtu)),
      ]),
    );
    this.#writable = values.filter((value) => value.access.includes('write'));
    this.#readable = values.filter((value) => value.access.includes('read'));
    this.#told = values.filter((value) => value.cccd !== undefined);
  }

  async run(duration: Microseconds): Promise<void> {
    const trial = this.#trial;
    for (const value of trial.table.values) {
      await trial.touch(value);
      const truth = await trial.truthOf(value);
      if (truth !== undefined) this.#first.set(value, truth);
    }
    const end = trial.now + duration;
    let client = await this.#connect();
    let step = 0;
    for (; trial.now < end && !trial.over; step++) {
      if (step % stepsToRest === 0 && !(await trial.rest())) return;
      if (!client.isOpen) trial.claim(false, 'the link stays up', 'the board ended it');
      client = await this.#step(client);
      this.#checkValues(client);
      this.#remember();
      await trial.pass(us(trial.random.int(longestPause)));
    }
    trial.claim(true, `truth and air agree at each of ${step} steps`);
  }

  async #step(client: Client): Promise<Client> {
    switch (this.#pick(actions)) {
      case 'read':
        await this.#read(client, this.#pick(this.#readable));
        break;
      case 'write':
        await this.#write(client, this.#pick(this.#writable));
        break;
      case 'refuse':
        await this.#refuse(client, this.#pick(this.#writable));
        break;
      case 'set':
        await this.#set(this.#pick(this.#trial.table.values));
        break;
      case 'subscribe':
        await this.#subscribe(client, this.#pick(this.#told), true);
        break;
      case 'unsubscribe':
        await this.#subscribe(client, this.#pick([...this.#subscribed]), false);
        break;
      case 'drop':
        return this.#drop(client);
      case 'wait':
      case undefined:
        break;
    }
    return client;
  }

  #pick<T>(list: readonly T[]): T | undefined {
    return list[this.#trial.random.int(list.length)];
  }

  async #read(client: Client, value: ValueDefinition | undefined): Promise<void> {
    if (value === undefined) return;
    const trial = this.#trial;
    const before = await trial.truthOf(value);
    const mark = trial.mark();
    const read = await trial.read(client, value);
    const right = trial.truth?.held(value.id, read, mark, before) ?? true;
    const words = before === undefined ? 'the truth' : valueWords(value.type, before);
    this.#claim(right, `\`${value.id}\` reads ${words}`, () => valueWords(value.type, read));
  }

  async #write(client: Client, value: ValueDefinition | undefined): Promise<void> {
    const sample = value === undefined ? undefined : this.#pick(this.#samples.get(value) ?? []);
    if (value === undefined || sample === undefined) return;
    const outcome = await client.write(value, sample.bytes);
    const words = valueWords(value.type, sample.bytes);
    const seen = outcome.ok ? '' : failureWords(outcome.failure);
    this.#claim(outcome.ok, `\`${value.id}\` takes ${words}`, () => seen);
    await this.#mustBe(value, sample.bytes, `\`${value.id}\` holds ${words}`);
  }

  async #refuse(client: Client, value: ValueDefinition | undefined): Promise<void> {
    const sample = value === undefined ? undefined : this.#pick(this.#refused.get(value) ?? []);
    if (value === undefined || sample === undefined) return;
    const before = await this.#trial.truthOf(value);
    const outcome = await client.write(value, sample.bytes);
    const words = valueWords(value.type, sample.bytes);
    this.#claim(!outcome.ok, `\`${value.id}\` refuses ${words}`, () => 'the board took it');
    if (before !== undefined) await this.#mustBe(value, before, `\`${value.id}\` is as before`);
  }

  async #set(value: ValueDefinition | undefined): Promise<void> {
    const sample = value === undefined ? undefined : this.#pick(this.#samples.get(value) ?? []);
    if (value !== undefined && sample !== undefined) await this.#trial.set(value, sample.bytes);
  }

  async #mustBe(value: ValueDefinition, octets: Bytes, expected: string): Promise<void> {
    const mark = this.#trial.mark();
    const now = await this.#trial.truthOf(value);
    const moved = this.#trial.truth?.changes(value.id, mark).length ?? 0;
    const right = now === undefined || equalBytes(now, octets) || moved > 0;
    this.#claim(right, expected, () => (now === undefined ? '' : valueWords(value.type, now)));
  }

  async #subscribe(client: Client, value: ValueDefinition | undefined, on: boolean): Promise<void> {
    if (value === undefined) return;
    const mode = value.access.includes('notify') ? 'notify' : 'indicate';
    const outcome = await client.subscribe(value, on ? mode : 'off');
    this.#claim(outcome.ok, `\`${value.id}\` can be subscribed to`, () =>
      outcome.ok ? '' : failureWords(outcome.failure),
    );
    if (on) this.#subscribed.add(value);
    else this.#subscribed.delete(value);
  }

  async #drop(client: Client): Promise<Client> {
    const trial = this.#trial;
    if (trial.link.reaches.has('link-loss') && trial.random.int(2) === 0) {
      await trial.lose(client);
      await trial.pass(us(trial.table.radio.connection.timeout + longestPause));
    } else {
      await trial.leave(client);
    }
    trial.forgetGone();
    this.#subscribed = new Set();
    this.#checked = 0;
    return this.#connect();
  }

  #connect(): Promise<Client> {
    const need = strongest(...this.#trial.table.values.map(needOf));
    return this.#trial.connect({ security: securityFor(need) });
  }

  /** Keeps as much of the account of changes as what is still on its way may need. */
  #remember(): void {
    const { now, truth } = this.#trial;
    this.#marks.push({ at: now, mark: this.#trial.mark() });
    while ((this.#marks[1]?.at ?? now) < now - longestTransit) this.#marks.shift();
    truth?.forget(this.#marks[0]?.mark ?? 0);
  }

  /** Everything that came was the truth a short time before, or since. */
  #checkValues(client: Client): void {
    const { table, truth } = this.#trial;
    const mark = this.#marks[0]?.mark ?? 0;
    for (const event of client.values.slice(this.#checked)) {
      const value = table.values.find(({ handle }) => handle === event.handle);
      if (value === undefined) continue;
      const before = truth?.before(value.id, mark)?.value ?? this.#first.get(value);
      const changes = truth?.changes(value.id, mark).map((told) => told.value) ?? [];
      const truths = before === undefined ? changes : [before, ...changes];
      const right = truths.length === 0 || truths.some((octets) => isSent(octets, event.value, client.mtu - 3));
      this.#claim(right, `each \`${value.id}\` that comes was the truth`, () => valueWords(value.type, event.value));
    }
    this.#checked = client.values.length;
  }

  /** A claim that is counted only when it fails: a soak makes thousands. */
  #claim(ok: boolean, expected: string, seen: () => string): void {
    if (!ok) this.#trial.claim(false, expected, seen());
  }
}
