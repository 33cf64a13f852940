import { equalBytes, noBytes, type Bytes } from '../base/bytes.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import type { Random } from '../base/random.ts';
import { openLink, type Link, type LinkSecurity } from '../att/link.ts';
import type { Table, ValueDefinition } from '../table/model.ts';
import { Claims } from './claims.ts';
import { Client } from './client.ts';
import { Journal } from './journal.ts';
import { remotesOfDiscovery, remotesOfTable, type Remotes } from './remote.ts';
import { needOf, securityFor } from './secure.ts';
import { Truth, type Mark, type Told } from './truth.ts';
import { failureWords, valueWords } from './words.ts';

/** Attempts to read a long value that the board keeps changing. */
const mostReads = 8;

/** What one case leaves behind for the next. */
export type Aftermath = {
  /** When the board noticed, or will notice, that the last client left: failsafes count from there. */
  leftAt: Microseconds;
};

/** How a long case is interrupted. */
export type Rests = {
  readonly breathe?: (() => void | Promise<void>) | undefined;
  readonly signal?: { readonly aborted: boolean } | undefined;
};

const noRests: Rests = {};

/**
 * One run of one case: its claims, its connections, the board's truth. Whatever a case changes goes through here, so
 * that the board can be left as it was.
 */
export class Trial {
  readonly table: Table;
  readonly link: Link;
  readonly random: Random;
  readonly claims = new Claims();
  /** `undefined` where the board has no console. */
  readonly truth: Truth | undefined;
  readonly #clients: Client[] = [];
  readonly #touched = new Map<ValueDefinition, Bytes | undefined>();
  readonly #remotesOfTable: Remotes;
  /** What happens, for the report. */
  readonly journal = new Journal();
  readonly #aftermath: Aftermath;
  readonly #rests: Rests;
  #stopped = false;

  constructor(
    table: Table,
    link: Link,
    random: Random,
    aftermath: Aftermath = { leftAt: us(0) },
    rests: Rests = noRests,
  ) {
    this.table = table;
    this.link = link;
    this.random = random;
    this.truth =
      link.console === undefined
        ? undefined
        : new Truth(link.console, link.clock, (told) => {
            this.#noteChange(told);
          });
    this.#remotesOfTable = remotesOfTable(table);
    this.#aftermath = aftermath;
    this.#rests = rests;
  }

  get over(): boolean {
    return this.claims.over;
  }

  get now(): Microseconds {
    return this.link.clock.now();
  }

  claim(ok: boolean, expected: string, otherwise?: string): void {
    this.claims.claim(ok, expected, otherwise);
  }

  observe(ok: boolean, expected: string, seen: string): void {
    this.claims.observe(ok, expected, seen);
  }

  /** True when the proof was ended in the middle of this case: it has no verdict. */
  get stopped(): boolean {
    return this.#stopped;
  }

  /** Writes down, for the report, what the case does to the link. */
  remark(text: string): void {
    if (!this.over) this.#note('link', text);
  }

  /** A long case comes here now and then: whoever runs the proof may draw, and may end it. Tells whether to go on. */
  async rest(): Promise<boolean> {
    await this.#rests.breathe?.();
    if (this.#rests.signal?.aborted === true) this.#stopped = true;
    return !this.#stopped && !this.over;
  }

  /** Lets time pass. */
  async pass(duration: Microseconds): Promise<void> {
    if (!this.over) await this.link.clock.sleep(duration);
  }

  /** Connects as `identity` and, unless the link is to stay open, secures it. */
  async connect(options: { identity?: string; security?: LinkSecurity } = {}): Promise<Client> {
    const { identity = 'first', security = openLink } = options;
    if (this.over) return this.#client(undefined);
    const outcome = await this.link.connect(identity);
    this.claims.require(outcome.ok, 'the board accepts a connection', outcome.ok ? '' : failureWords(outcome.failure));
    const client = this.#client(outcome.ok ? outcome.value : undefined);
    this.#note('link', `${this.journal.nameOf(client)} connects as \`${identity}\``);
    if (!this.link.reaches.has('handles')) client.remotes = remotesOfDiscovery(this.table, await client.mustDiscover());
    if (security !== openLink) await this.secure(client, security);
    return client;
  }

  /** Sets the link's security as a fixture. */
  async secure(client: Client, security: LinkSecurity): Promise<void> {
    const words = [
      security.secureConnections ? 'Secure Connections' : security.authenticated ? 'authenticated' : 'encrypted',
      `key of ${security.keySize} octets`,
      ...(security.bonded ? ['bonded'] : []),
    ];
    this.#note('link', `the link of ${this.journal.nameOf(client)} is made secure: ${words.join(', ')}`);
    await client.mustSecure(security);
  }

  /** Connects with all the security that any access to `value` needs. */
  connectFor(value: ValueDefinition, identity = 'first'): Promise<Client> {
    return this.connect({ identity, security: securityFor(needOf(value)) });
  }

  /** Ends one connection with a goodbye. */
  async leave(client: Client): Promise<void> {
    if (this.over) return;
    this.#note('link', `${this.journal.nameOf(client)} says goodbye`);
    await client.connection?.drop('terminate');
    this.#aftermath.leftAt = this.now;
  }

  /** Forgets clients that have gone: a soak has thousands. */
  forgetGone(): void {
    if (this.#clients.some(({ isOpen }) => isOpen)) return;
    this.#clients.length = 0;
    this.journal.turnPage();
  }

  /** Breaks the radio link; the board notices at the contract's supervision timeout. */
  async lose(client: Client): Promise<void> {
    if (this.over) return;
    this.#note('link', `the link of ${this.journal.nameOf(client)} is lost, without a goodbye`);
    await client.connection?.drop('lose');
    this.#aftermath.leftAt = us(this.now + this.table.radio.connection.timeout);
  }

  /** What the board holds, by its console; `undefined` without a console. */
  async truthOf(value: ValueDefinition): Promise<Bytes | undefined> {
    if (this.truth === undefined || this.over) return undefined;
    const octets = await this.truth.get(value.id);
    if (octets !== undefined) this.#note('console', `\`${value.id}\` is ${valueWords(value.type, octets)}`);
    this.claims.require(octets !== undefined, `the console answers \`get ${value.id}\``, 'it does not');
    return octets;
  }

  /** Makes the board hold `octets` by its console. */
  async set(value: ValueDefinition, octets: Bytes): Promise<void> {
    if (this.truth === undefined || this.over) return;
    await this.#outlastFailsafe(value);
    await this.touch(value);
    const words = valueWords(value.type, octets);
    this.#note('console', `set \`${value.id}\` to ${words}`);
    const done = await this.truth.set(value.id, octets);
    this.claims.require(done, `the console sets \`${value.id}\` to ${words}`, 'it refuses');
  }

  /** Makes the board hold `octets`: by its console, else over the air. */
  async hold(client: Client, value: ValueDefinition, octets: Bytes): Promise<void> {
    if (this.truth === undefined) await this.write(client, value, octets);
    else await this.set(value, octets);
  }

  /** Writes and remembers that the value is to be put back. */
  async write(client: Client, value: ValueDefinition, octets: Bytes): Promise<void> {
    await this.#outlastFailsafe(value);
    await this.touch(value, client);
    await client.mustWrite(value, octets);
  }

  /**
   * Claims that the value can be read, and reads it whole. A value that needs several packets and that the board changes in
   * between would come torn without anybody's fault: it is read again.
   */
  async read(client: Client, value: ValueDefinition): Promise<Bytes> {
    for (let i = 0; i < mostReads; i++) {
      const mark = this.mark();
      const outcome = await client.read(value);
      const moved = (this.truth?.changes(value.id, mark).length ?? 0) > 0;
      if (moved && value.maxLength >= client.mtu - 1) continue;
      const seen = outcome.ok ? undefined : failureWords(outcome.failure);
      this.claims.require(outcome.ok, `reading \`${value.id}\` works`, seen);
      return outcome.ok ? outcome.value : noBytes;
    }
    this.claims.giveUp(
      'inconclusive',
      'a value that stands still while its parts are read',
      'the board changes it each time',
    );
    return noBytes;
  }

  /** Remembers the value as it is, before the case changes it. */
  async touch(value: ValueDefinition, client?: Client): Promise<void> {
    if (this.over || this.#touched.has(value)) return;
    let before = await this.truth?.get(value.id);
    if (before === undefined && client !== undefined && value.access.includes('read')) {
      const read = await client.read(value);
      if (read.ok) before = read.value;
    }
    this.#touched.set(value, before);
  }

  mark(): Mark {
    return this.truth?.mark() ?? 0;
  }

  /**
   * Claims that the board holds `octets`: by its console, and by reading back where the value can be read. A board that
   * moves the value itself afterwards may show what it told since `mark`.
   */
  async mustHold(client: Client, value: ValueDefinition, octets: Bytes, since: Mark): Promise<void> {
    const words = valueWords(value.type, octets);
    const now = await this.truthOf(value);
    if (now !== undefined) {
      const right = equalBytes(now, octets) || this.#movedOn(value, octets, since);
      this.observe(right, `the board holds ${words}`, `it holds ${valueWords(value.type, now)}`);
    }
    if (!value.access.includes('read')) return;
    const read = await this.read(client, value);
    const right = equalBytes(read, octets) || (this.truth?.held(value.id, read, since, now) ?? false);
    this.observe(right, `reading back gives ${words}`, `it gives ${valueWords(value.type, read)}`);
  }

  /** Claims that a refused or ignored write changed nothing: `before` is what the board held. */
  async mustBeUnchanged(client: Client, value: ValueDefinition, before: Bytes, since: Mark): Promise<void> {
    const words = valueWords(value.type, before);
    const now = await this.truthOf(value);
    if (now !== undefined) {
      const byAir = this.truth?.changes(value.id, since).find((told) => told.cause === 'air');
      const right = byAir === undefined && (equalBytes(now, before) || this.#movedOn(value, before, since));
      const seen = byAir === undefined ? now : byAir.value;
      this.observe(right, `the board still holds ${words}`, `it holds ${valueWords(value.type, seen)}`);
    }
    if (!value.access.includes('read')) return;
    const read = await this.read(client, value);
    const right = equalBytes(read, before) || (this.truth?.held(value.id, read, since, before) ?? false);
    this.observe(right, `reading still gives ${words}`, `it gives ${valueWords(value.type, read)}`);
  }

  /** Puts back what was touched and ends every connection. Works after the verdict stands, too. */
  async close(): Promise<void> {
    for (const [value, before] of this.#touched) {
      // A value with a failsafe rests there: the board would take it there anyway when the last client leaves.
      const rest = value.onLinkLoss.kind === 'set' ? value.onLinkLoss.raw : before;
      if (rest === undefined) continue;
      if (this.truth !== undefined) await this.truth.set(value.id, rest);
      else if (value.access.includes('write')) await this.#writeBack(value, rest);
    }
    for (const client of this.#clients) {
      if (!client.isOpen) continue;
      await client.connection?.drop('terminate');
      this.#aftermath.leftAt = us(Math.max(this.now, this.#aftermath.leftAt));
    }
    await this.#waitUntil(this.#aftermath.leftAt);
    this.truth?.close();
  }

  /** What the world does by itself would drown the rest. */
  #noteChange({ id, value: octets, cause }: Told): void {
    const value = this.table.values.find((candidate) => candidate.id === id);
    if (value === undefined || cause === 'rig' || cause === 'console') return;
    const why = cause === 'air' ? 'written over the air' : cause === 'failsafe' ? 'by its failsafe' : 'at power-up';
    this.#note('console', `\`${id}\` becomes ${valueWords(value.type, octets)}, ${why}`);
  }

  #note(by: 'console' | 'link', text: string): void {
    this.journal.note(by, text, this.now);
  }

  /** A failsafe of an earlier connection must not work in the middle of this case. */
  async #outlastFailsafe({ onLinkLoss }: ValueDefinition): Promise<void> {
    if (this.over || onLinkLoss.kind !== 'set' || onLinkLoss.within === 0) return;
    await this.#waitUntil(us(this.#aftermath.leftAt + onLinkLoss.within + slackOf(this.link)));
  }

  async #waitUntil(time: Microseconds): Promise<void> {
    if (time > this.now) await this.link.clock.sleep(us(time - this.now));
  }

  /** The board took `octets` and then, of itself, something else. */
  #movedOn(value: ValueDefinition, octets: Bytes, since: Mark): boolean {
    const changes = this.truth?.changes(value.id, since) ?? [];
    const last = changes[changes.length - 1];
    const taken = changes.some((told) => equalBytes(told.value, octets));
    return last?.cause === 'rig' && (taken || changes.every((told) => told.cause === 'rig'));
  }

  async #writeBack(value: ValueDefinition, rest: Bytes): Promise<void> {
    for (const client of this.#clients) {
      const target = client.remotes(value);
      if (!client.isOpen || target === undefined) continue;
      const outcome = await client.connection?.write(target, rest);
      if (outcome?.ok === true) return;
    }
  }

  #client(connection: Client['connection']): Client {
    const client = new Client(connection, this.claims, this.link.clock, this.#remotesOfTable);
    this.#clients.push(client);
    this.journal.add(client);
    return client;
  }
}

/** What a board's own clock and its console may add to a time that the contract gives. */
export function slackOf(link: Link): Microseconds {
  return us(link.reaches.has('virtual-time') ? 20_000 : 1_000_000);
}
