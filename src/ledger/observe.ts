import { us, type Microseconds } from '../base/quantity.ts';
import type { Bytes } from '../base/bytes.ts';
import type {
  Connection,
  ConsolePort,
  CrossedPdu,
  Failure,
  Link,
  Outcome,
  RemoteAttribute,
  RemoteCharacteristic,
} from '../att/link.ts';
import type { Table, ValueDefinition } from '../table/model.ts';
import type { Observation } from './observation.ts';

export type Observer = {
  /** The link with an ear on it: whatever is done on it is observed. */
  readonly link: Link;
  /** For a link that tells each packet as it crosses: give it as the client's `onCrossed`. */
  readonly packet: (crossed: CrossedPdu) => void;
};

/**
 * Listens to a link: to the board's console and to everything that crosses on its connections.
 *
 * @param start the link's time that counts as the session's 0
 * @param onObserved called for each observation as it happens; times never go back
 */
export function observeLink(
  link: Link,
  table: Table,
  start: Microseconds,
  onObserved: (observation: Observation) => void,
): Observer {
  let last = us(0);
  let connections = 0;
  const now = (): Microseconds => (last = us(Math.max(last, link.clock.now() - start)));
  const console = link.console === undefined ? undefined : observeConsole(link.console, now, onObserved);
  const observed: Link = {
    name: link.name,
    reaches: link.reaches,
    clock: link.clock,
    advertisement: () => link.advertisement(),
    close: () => link.close(),
    console,
    async connect(identity) {
      const outcome = await link.connect(identity);
      if (!outcome.ok) return outcome;
      connections += 1;
      return { ok: true, value: observeConnection(outcome.value, table, connections, now, onObserved) };
    },
  };
  return {
    link: observed,
    packet: ({ at, from, pdu }) => {
      last = us(Math.max(last, at - start));
      // The first packet of a connection crosses after it was made.
      onObserved({ kind: 'packet', at: last, connection: Math.max(1, connections), from, pdu });
    },
  };
}

/**
 * Listens to a console: to what is printed, from now on and without anybody else listening, and to what is typed.
 *
 * @param now the session's time
 */
export function observeConsole(
  port: ConsolePort,
  now: () => Microseconds,
  onObserved: (observation: Observation) => void,
): ConsolePort {
  port.onLine((line) => {
    onObserved({ kind: 'printed', at: now(), line });
  });
  return {
    send(line) {
      onObserved({ kind: 'typed', at: now(), line });
      port.send(line);
    },
    onLine: (listener) => port.onLine(listener),
  };
}

/** Listens to one connection; `connection` is its number in the session, from 1. */
export function observeConnection(
  inner: Connection,
  table: Table,
  connection: number,
  now: () => Microseconds,
  onObserved: (observation: Observation) => void,
): Connection {
  const tellMtu = (): void => {
    const mtu = Number.isInteger(inner.mtu) && inner.mtu > 0 ? inner.mtu : undefined;
    onObserved({ kind: 'connected', at: now(), connection, mtu });
  };
  /** Carries out an act on a value and tells how it ended. */
  const act = async <T>(
    target: RemoteAttribute,
    run: () => Promise<Outcome<T>>,
    tell: (value: T, id: string, asked: Microseconds, at: Microseconds) => Observation,
    access: 'read' | 'write',
    written?: Bytes,
  ): Promise<Outcome<T>> => {
    const definition = definitionOf(table, target);
    const asked = now();
    const outcome = await run();
    if (definition === undefined) return outcome;
    const { id } = definition;
    const at = now();
    onObserved(
      outcome.ok
        ? tell(outcome.value, id, asked, at)
        : { kind: 'refused', asked, at, connection, id, access, code: codeOf(outcome.failure), value: written },
    );
    return outcome;
  };
  tellMtu();
  inner.onValue(({ kind, handle, characteristic, value }) => {
    const definition = definitionOf(table, { handle, uuid: characteristic?.uuid }, characteristic?.service);
    if (definition === undefined) return;
    const how = kind === 'notification' ? 'notified' : 'indicated';
    onObserved({ kind: how, at: now(), connection, id: definition.id, value });
  });
  let isOver = false;
  const over = (): void => {
    if (isOver) return;
    isOver = true;
    onObserved({ kind: 'disconnected', at: now(), connection });
  };
  inner.onClose(over);

  return {
    get isOpen() {
      return inner.isOpen;
    },
    get mtu() {
      return inner.mtu;
    },
    get transcript() {
      return inner.transcript;
    },
    async exchangeMtu(mtu) {
      const outcome = await inner.exchangeMtu(mtu);
      tellMtu();
      return outcome;
    },
    discover: () => inner.discover(),
    read: (target) =>
      act(
        target,
        () => inner.read(target),
        (value, id, asked, at) => ({ kind: 'read', asked, at, connection, id, value }),
        'read',
      ),
    write: (target, value) =>
      act(
        target,
        () => inner.write(target, value),
        (_, id, asked, at) => ({ kind: 'written', asked, at, connection, id, value: value.slice(), response: true }),
        'write',
        value.slice(),
      ),
    writeWithoutResponse: (target, value) =>
      act(
        target,
        () => inner.writeWithoutResponse(target, value),
        (_, id, asked, at) => ({ kind: 'written', asked, at, connection, id, value: value.slice(), response: false }),
        'write',
        value.slice(),
      ),
    async subscribe(target, mode) {
      const definition = definitionOf(table, target);
      const asked = now();
      const outcome = await inner.subscribe(target, mode);
      if (definition === undefined || !outcome.ok) return outcome;
      onObserved({ kind: 'subscribed', asked, at: now(), connection, id: definition.id, mode });
      return outcome;
    },
    onValue: (listener) => inner.onValue(listener),
    exchange: (pdu, wait) => inner.exchange(pdu, wait),
    confirmIndications: (on) => {
      inner.confirmIndications(on);
    },
    setSecurity: (security) => inner.setSecurity(security),
    async drop(how) {
      over();
      await inner.drop(how);
    },
    onClose: (listener) => inner.onClose(listener),
  };
}

/** By its handle where the link shows it, else by the UUIDs of characteristic and service. */
function definitionOf(
  table: Table,
  target: { readonly handle: number | undefined; readonly uuid: string | undefined },
  service?: string,
): ValueDefinition | undefined {
  if (target.handle !== undefined) return table.values.find(({ handle }) => handle === target.handle);
  const home = service ?? (isCharacteristic(target) ? target.service : undefined);
  return table.values.find(
    (value) =>
      value.uuid === target.uuid &&
      (home === undefined || table.services.find(({ id }) => id === value.service)?.uuid === home),
  );
}

function isCharacteristic(target: object): target is RemoteCharacteristic {
  return 'kind' in target && target.kind === 'characteristic';
}

function codeOf(failure: Failure): number | undefined {
  return failure.kind === 'att-error' ? failure.code : undefined;
}
