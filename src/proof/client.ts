import { equalBytes, noBytes, type Bytes } from '../base/bytes.ts';
import { Gate, type Clock } from '../base/clock.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import type {
  Connection,
  LinkSecurity,
  Outcome,
  RemoteAttribute,
  RemoteCharacteristic,
  RemoteService,
  ValueEvent,
} from '../att/link.ts';
import type { Handle, ValueDefinition } from '../table/model.ts';
import type { Claims } from './claims.ts';
import type { Remotes } from './remote.ts';
import { answerWords, errorWords, failureWords, valueWords } from './words.ts';
import { errorResponse, parseError } from './wire.ts';

/** How long silence is listened to before it counts as no answer. */
export const quiet: Microseconds = us(300_000);

/**
 * One connection of a case. `must…` claims that the operation works and answers blank when it does not; the others give
 * the outcome. After the case's verdict stands, nothing is sent any more.
 */
export class Client {
  /** Notifications and indications in the order they came. */
  readonly values: ValueEvent[] = [];
  readonly connection: Connection | undefined;
  readonly #claims: Claims;
  readonly #clock: Clock;
  /** How the operations find their targets on this link. */
  remotes: Remotes;
  #arrival = new Gate();

  constructor(connection: Connection | undefined, claims: Claims, clock: Clock, remotes: Remotes) {
    this.connection = connection;
    this.#claims = claims;
    this.#clock = clock;
    this.remotes = remotes;
    connection?.onValue((event) => {
      this.values.push(event);
      this.#arrival.open();
      this.#arrival = new Gate();
    });
  }

  get isOpen(): boolean {
    return this.connection?.isOpen ?? false;
  }

  get mtu(): number {
    return this.connection?.mtu ?? 0;
  }

  async read(target: ValueDefinition | RemoteAttribute): Promise<Outcome<Bytes>> {
    return this.#do((connection) => connection.read(this.#aim(target)));
  }

  async mustRead(target: ValueDefinition | RemoteAttribute, what: string): Promise<Bytes> {
    return this.#must(await this.read(target), `reading ${what} works`, noBytes);
  }

  async write(target: ValueDefinition | RemoteAttribute, value: Bytes): Promise<Outcome<void>> {
    return this.#do((connection) => connection.write(this.#aim(target), value));
  }

  async mustWrite(value: ValueDefinition, octets: Bytes): Promise<void> {
    this.#must(await this.write(value, octets), `the board takes ${valueWords(value.type, octets)}`, undefined);
  }

  async writeWithoutResponse(value: ValueDefinition, octets: Bytes): Promise<Outcome<void>> {
    return this.#do((connection) => connection.writeWithoutResponse(this.#aim(value), octets));
  }

  async mustWriteWithoutResponse(value: ValueDefinition, octets: Bytes): Promise<void> {
    const outcome = await this.writeWithoutResponse(value, octets);
    this.#must(outcome, `${valueWords(value.type, octets)} can be sent without response`, undefined);
  }

  async subscribe(value: ValueDefinition, mode: 'notify' | 'indicate' | 'off'): Promise<Outcome<void>> {
    return this.#do((connection) => connection.subscribe(this.#aim(value), mode));
  }

  async mustSubscribe(value: ValueDefinition, mode: 'notify' | 'indicate' | 'off'): Promise<void> {
    const what = mode === 'off' ? 'unsubscribing works' : 'subscribing works';
    this.#must(await this.subscribe(value, mode), what, undefined);
  }

  async mustExchangeMtu(mtu: number): Promise<number> {
    const outcome = await this.#do((connection) => connection.exchangeMtu(mtu));
    return this.#must(outcome, `the board agrees on an MTU when asked for ${mtu}`, 0);
  }

  async mustDiscover(): Promise<readonly RemoteService[]> {
    return this.#must(await this.#do((connection) => connection.discover()), 'discovery works', []);
  }

  async mustSecure(security: LinkSecurity): Promise<void> {
    const outcome = await this.#do((connection) => connection.setSecurity(security));
    this.#must(outcome, 'the link can be secured', undefined);
  }

  /** Sends octets as they are; `undefined` when no answer came within `wait`, or the link ended. */
  async exchange(pdu: Bytes, wait?: Microseconds): Promise<Bytes | undefined> {
    const outcome = await this.#do((connection) => connection.exchange(pdu, wait));
    return outcome.ok ? outcome.value : undefined;
  }

  /** Sends a request that must be answered; blank when it is not. */
  async mustAnswer(pdu: Bytes, what: string): Promise<Bytes> {
    const answer = await this.exchange(pdu);
    this.#claims.require(answer !== undefined, `the board answers ${what}`, answerWords(answer));
    return answer ?? noBytes;
  }

  /** Claims that the answer to `pdu` is exactly these octets. */
  async mustAnswerWith(pdu: Bytes, answer: Bytes, what: string): Promise<void> {
    const seen = await this.exchange(pdu);
    const right = seen !== undefined && equalBytes(seen, answer);
    this.#claims.observe(right, `${what}: ${answerWords(answer)}`, answerWords(seen));
  }

  /** Claims that `pdu` is refused with `code` for `handle`. */
  async mustRefuse(pdu: Bytes, handle: Handle, code: number, what: string): Promise<void> {
    const seen = await this.exchange(pdu);
    const right = seen !== undefined && equalBytes(seen, errorResponse(pdu[0] ?? 0, handle, code));
    this.#claims.observe(right, `${what} is refused with ${errorWords(code)}`, answerWords(seen));
  }

  /** Claims that `pdu` is not answered and that the link stays up. */
  async mustIgnore(pdu: Bytes, what: string): Promise<void> {
    const seen = await this.exchange(pdu, quiet);
    if (this.#claims.over) return;
    this.#claims.require(this.isOpen, `the link stays up after ${what}`, 'the link ended');
    this.#claims.claim(seen === undefined, `the board does not answer ${what}`, answerWords(seen));
  }

  /** The error code of an exchange; `undefined` for any other answer. */
  async errorOf(pdu: Bytes): Promise<number | undefined> {
    const answer = await this.exchange(pdu);
    return answer === undefined ? undefined : parseError(answer)?.code;
  }

  /** What came for `value` since the client connected. */
  valuesOf(value: ValueDefinition): readonly ValueEvent[] {
    const remote = this.remotes(value);
    return this.values.filter(
      (event) => event.handle === value.handle || (event.handle === undefined && event.characteristic === remote),
    );
  }

  /** Waits until `total` values have come for `value`; tells whether they did within `limit`. */
  async waitForValues(value: ValueDefinition, total: number, limit: Microseconds): Promise<boolean> {
    const end = this.#clock.now() + limit;
    while (!this.#claims.over && this.valuesOf(value).length < total) {
      const left = end - this.#clock.now();
      if (left <= 0 || !(await this.#clock.waitFor(this.#arrival, us(left)))) break;
    }
    return this.valuesOf(value).length >= total;
  }

  #aim(target: ValueDefinition): RemoteCharacteristic;
  #aim(target: ValueDefinition | RemoteAttribute): RemoteAttribute;
  #aim(target: ValueDefinition | RemoteAttribute): RemoteAttribute {
    if ('kind' in target) return target;
    const remote = this.remotes(target);
    if (remote !== undefined) return remote;
    this.#claims.claim(false, `the board has the characteristic \`${target.id}\``, 'it was not discovered');
    return { kind: 'characteristic', uuid: target.uuid, handle: undefined };
  }

  async #do<T>(operation: (connection: Connection) => Promise<Outcome<T>>): Promise<Outcome<T>> {
    if (this.connection === undefined || this.#claims.over) return { ok: false, failure: { kind: 'link-lost' } };
    const outcome = await operation(this.connection);
    if (!outcome.ok && outcome.failure.kind === 'not-reachable') {
      this.#claims.giveUp('not-reachable', 'the link to carry this', failureWords(outcome.failure));
    }
    return outcome;
  }

  #must<T>(outcome: Outcome<T>, expected: string, blank: T): T {
    this.#claims.require(outcome.ok, expected, outcome.ok ? '' : failureWords(outcome.failure));
    return outcome.ok ? outcome.value : blank;
  }
}
