import { bug } from '../base/bug.ts';
import { u16le, type Bytes } from '../base/bytes.ts';
import { Gate, type Clock } from '../base/clock.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import { isCommand, opcodeEntry } from '../numbers/att-opcodes.ts';
import { attributeType } from '../numbers/descriptors.ts';
import type { Handle } from '../table/model.ts';
import {
  attClient,
  startClient,
  transactionTimeout,
  type ClientEffect,
  type ClientEvent,
  type ClientState,
} from './client/client-reducer.ts';
import { discoverAll } from './client/discover.ts';
import { unusable, type Procedure } from './client/procedure.ts';
import { readWhole } from './client/read-long.ts';
import { writeWhole } from './client/write-long.ts';
import {
  failure,
  success,
  type Connection,
  type CrossedPdu,
  type Failure,
  type LinkSecurity,
  type LowerLayers,
  type Outcome,
  type PduChannel,
  type RemoteAttribute,
  type RemoteCharacteristic,
  type RemoteService,
  type ValueEvent,
} from './link.ts';
import { encodePdu } from './pdu/encode.ts';
import { defaultMtu, type AttResponse } from './pdu/model.ts';

export type GattClientOptions = {
  /** How many of the newest PDUs `transcript` keeps at least; default all. A client that lives long needs a bound. */
  readonly keep?: number;
  /** Called for each PDU as it crosses. */
  readonly onCrossed?: (crossed: CrossedPdu) => void;
};

/** The client for every link that carries raw PDUs: the client reducer on a channel and a clock. */
export class GattClient implements Connection {
  readonly transcript: readonly CrossedPdu[];
  readonly #crossed: CrossedPdu[] = [];
  readonly #channel: PduChannel;
  readonly #clock: Clock;
  readonly #options: GattClientOptions;
  #state: ClientState = startClient;
  /** The operation that waits for its answer. */
  #waiting: Waiting | undefined;
  /** Settles when the last operation asked for is done. */
  #queue: Promise<unknown> = Promise.resolve();
  readonly #characteristics = new Map<Handle, RemoteCharacteristic>();
  readonly #valueListeners = new Set<(event: ValueEvent) => void>();
  readonly #closeListeners = new Set<() => void>();

  constructor(channel: PduChannel, clock: Clock, options: GattClientOptions = {}) {
    this.#channel = channel;
    this.#clock = clock;
    this.#options = options;
    this.transcript = this.#crossed;
    channel.onPdu((pdu) => {
      if (this.#state.phase === 'closed') return;
      this.#record('board', pdu);
      this.#step({ kind: 'received', pdu });
    });
    channel.onClose(() => {
      this.#close();
    });
  }

  get isOpen(): boolean {
    return this.#channel.isOpen && this.#state.phase === 'open';
  }

  get mtu(): number {
    return this.#state.mtu;
  }

  get lower(): LowerLayers | undefined {
    return this.#channel.lower;
  }

  exchangeMtu(mtu: number): Promise<Outcome<number>> {
    return this.#enqueue(async () => {
      const answer = await this.#request(encodePdu({ kind: 'exchange-mtu-request', mtu }));
      if (!answer.ok) return answer;
      if (answer.value.kind !== 'exchange-mtu-response') return unusable(answer.value);
      if (answer.value.mtu >= defaultMtu) return success(this.mtu);
      return failure({
        kind: 'protocol',
        about: `the server says it can receive ${answer.value.mtu} octets, at least ${defaultMtu} are due`,
      });
    });
  }

  async discover(): Promise<Outcome<readonly RemoteService[]>> {
    const outcome = await this.#run(() => discoverAll());
    if (!outcome.ok) return outcome;
    this.#characteristics.clear();
    for (const { characteristics } of outcome.value) {
      for (const one of characteristics) if (one.handle !== undefined) this.#characteristics.set(one.handle, one);
    }
    return outcome;
  }

  read(target: RemoteAttribute): Promise<Outcome<Bytes>> {
    return this.#at(target, (handle) => this.#run(() => readWhole(handle, this.mtu)));
  }

  write(target: RemoteAttribute, value: Bytes): Promise<Outcome<void>> {
    return this.#at(target, (handle) => this.#run(() => writeWhole(handle, value, this.mtu)));
  }

  writeWithoutResponse(target: RemoteAttribute, value: Bytes): Promise<Outcome<void>> {
    return this.#at(target, (handle) =>
      this.#enqueue(() => {
        if (!this.isOpen) return Promise.resolve(failure(this.#end()));
        const room = this.mtu - 3;
        if (value.length > room) {
          const about = `a value of ${value.length} octets is longer than the ${room} a Write Command carries at an MTU of ${this.mtu}`;
          return Promise.resolve(failure({ kind: 'not-reachable', about }));
        }
        this.#step({ kind: 'tell', pdu: encodePdu({ kind: 'write-command', handle, value }) });
        return Promise.resolve(success(undefined));
      }),
    );
  }

  subscribe(target: RemoteCharacteristic, mode: 'notify' | 'indicate' | 'off'): Promise<Outcome<void>> {
    const cccd = target.descriptors.find((descriptor) => descriptor.uuid === attributeType.clientConfiguration);
    if (cccd === undefined) {
      return Promise.resolve(failure({ kind: 'not-reachable', about: 'the characteristic has no CCCD' }));
    }
    return this.write(cccd, u16le({ off: 0, notify: 1, indicate: 2 }[mode]));
  }

  onValue(listener: (event: ValueEvent) => void): () => void {
    this.#valueListeners.add(listener);
    return () => {
      this.#valueListeners.delete(listener);
    };
  }

  /** Without `wait`, what must be answered is waited for 30 s and fails then, and nothing else is waited for. */
  exchange(pdu: Bytes, wait?: Microseconds): Promise<Outcome<Bytes | undefined>> {
    return this.#enqueue(async () => {
      const answer =
        wait === undefined && mustBeAnswered(pdu) ? await this.#ask(pdu, true) : await this.#askFor(pdu, wait ?? us(0));
      if (answer === undefined) return success(undefined);
      return answer.ok ? success(answer.value.pdu) : answer;
    });
  }

  confirmIndications(on: boolean): void {
    this.#step({ kind: 'confirm-indications', on });
  }

  async setSecurity(security: LinkSecurity): Promise<Outcome<void>> {
    return this.#enqueue(async () => {
      if (!this.isOpen) return failure(this.#end());
      if (this.#channel.setSecurity === undefined) {
        return failure({ kind: 'not-reachable', about: 'this link cannot set its security' });
      }
      await this.#channel.setSecurity(security);
      return success(undefined);
    });
  }

  async drop(how: 'terminate' | 'lose'): Promise<void> {
    await this.#channel.drop?.(how);
    this.#close();
  }

  onClose(listener: () => void): () => void {
    this.#closeListeners.add(listener);
    return () => {
      this.#closeListeners.delete(listener);
    };
  }

  #close(): void {
    if (this.#state.phase === 'closed') return;
    this.#step({ kind: 'closed' });
    for (const listener of [...this.#closeListeners]) listener();
  }

  #record(from: CrossedPdu['from'], pdu: Bytes): void {
    const crossed: CrossedPdu = { at: this.#clock.now(), from, pdu };
    this.#crossed.push(crossed);
    const { keep, onCrossed } = this.#options;
    // Twice the bound before anything goes: cutting at each PDU would cost its length each time.
    if (keep !== undefined && this.#crossed.length > 2 * keep) this.#crossed.splice(0, this.#crossed.length - keep);
    onCrossed?.(crossed);
  }

  #end(): Failure {
    return this.#state.phase === 'dead' ? { kind: 'timeout' } : { kind: 'link-lost' };
  }

  /** One operation after the other, in the order asked for. */
  #enqueue<T>(operation: () => Promise<T>): Promise<T> {
    const result = this.#queue.then(operation);
    this.#queue = result.catch(() => undefined);
    return result;
  }

  #at<T>(target: RemoteAttribute, operation: (handle: Handle) => Promise<Outcome<T>>): Promise<Outcome<T>> {
    if (target.handle !== undefined) return operation(target.handle);
    return Promise.resolve(failure({ kind: 'not-reachable', about: 'the attribute has no known handle' }));
  }

  #run<T>(begin: () => Procedure<T>): Promise<Outcome<T>> {
    return this.#enqueue(async () => {
      const procedure = begin();
      let turn = procedure.next();
      while (turn.done !== true) {
        const answer = await this.#request(encodePdu(turn.value));
        if (!answer.ok) return answer;
        turn = procedure.next(answer.value);
      }
      return turn.value;
    });
  }

  /** The response that belongs to a request, or its error. */
  async #request(pdu: Bytes): Promise<Outcome<AttResponse>> {
    const answer = await this.#ask(pdu, false);
    if (!answer.ok) return answer;
    const { response } = answer.value;
    bug(response !== undefined, 'only raw requests are answered by no response');
    return success(response);
  }

  /** Sends a request and waits until it is answered, times out or the link ends. */
  async #ask(pdu: Bytes, raw: boolean): Promise<Outcome<Answer>> {
    const waiting = this.#begin(pdu, raw);
    const due = this.#clock.now() + transactionTimeout;
    // A real clock may wake a little before its time.
    for (let left = us(transactionTimeout); left > 0 && !waiting.gate.isOpen; left = us(due - this.#clock.now())) {
      await this.#clock.waitFor(waiting.gate, left);
    }
    this.#step({ kind: 'time' });
    return waiting.outcome ?? failure({ kind: 'timeout' });
  }

  /** Sends any octets and waits a while; `undefined` when nothing came. */
  async #askFor(pdu: Bytes, wait: Microseconds): Promise<Outcome<Answer> | undefined> {
    const waiting = this.#begin(pdu, true);
    await this.#clock.waitFor(waiting.gate, wait);
    if (waiting.outcome === undefined) {
      this.#waiting = undefined;
      this.#step({ kind: 'give-up' });
    }
    return waiting.outcome;
  }

  #begin(pdu: Bytes, raw: boolean): Waiting {
    const waiting: Waiting = { gate: new Gate(), outcome: undefined };
    this.#waiting = waiting;
    if (!this.#channel.isOpen) this.#close();
    this.#step({ kind: 'request', pdu, raw });
    return waiting;
  }

  #settle(outcome: Outcome<Answer>): void {
    const waiting = this.#waiting;
    this.#waiting = undefined;
    if (waiting === undefined) return;
    waiting.outcome = outcome;
    waiting.gate.open();
  }

  /** The state is in force before anything is done: a channel may answer while it is being sent to. */
  #step(event: ClientEvent): void {
    const { state, effects } = attClient(this.#state, event, this.#clock.now());
    this.#state = state;
    for (const effect of effects) this.#carryOut(effect);
  }

  #carryOut(effect: ClientEffect): void {
    switch (effect.kind) {
      case 'send':
        this.#record('central', effect.pdu);
        this.#channel.send(effect.pdu);
        return;
      case 'answered':
        this.#settle(success({ pdu: effect.pdu, response: effect.response }));
        return;
      case 'failed':
        this.#settle(failure(effect.failure));
        return;
      case 'value': {
        const { how, handle, value } = effect;
        const characteristic = this.#characteristics.get(handle);
        const event: ValueEvent = { at: this.#clock.now(), kind: how, handle, characteristic, value };
        for (const listener of [...this.#valueListeners]) listener(event);
      }
    }
  }
}

type Answer = { readonly pdu: Bytes; readonly response: AttResponse | undefined };

type Waiting = { readonly gate: Gate; outcome: Outcome<Answer> | undefined };

/** Requests, and opcodes that a server must refuse because it does not know them. */
function mustBeAnswered(pdu: Bytes): boolean {
  const code = pdu[0];
  if (code === undefined) return false;
  return (opcodeEntry(code)?.kind ?? (isCommand(code) ? 'command' : 'request')) === 'request';
}
