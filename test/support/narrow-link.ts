import type {
  Connection,
  Link,
  Outcome,
  Reach,
  RemoteAttribute,
  RemoteCharacteristic,
  RemoteService,
  ValueEvent,
} from '../../src/att/link.ts';
import type { Handle } from '../../src/table/model.ts';

/**
 * A link over another one that can do little: no raw PDUs, no handles, no error numbers, as through a programming interface
 * that shows only services and characteristics.
 */
export function narrowLink(inner: Link, reaches: readonly Reach[]): Link {
  return {
    name: `${inner.name}, narrow`,
    reaches: new Set(reaches),
    clock: inner.clock,
    advertisement: () => Promise.resolve(undefined),
    async connect(identity) {
      const outcome = await inner.connect(identity);
      return outcome.ok ? { ok: true, value: narrow(outcome.value) } : outcome;
    },
    console: reaches.includes('console') ? inner.console : undefined,
    close: () => inner.close(),
  };
}

function narrow(inner: Connection): Connection {
  const targets = new Map<RemoteAttribute, RemoteAttribute>();
  const byHandle = new Map<Handle, RemoteCharacteristic>();
  const behind = <T extends RemoteAttribute>(target: T): T => (targets.get(target) ?? target) as T;
  const nothing = { ok: false, failure: { kind: 'not-reachable', about: 'not over this link' } } as const;
  return {
    get isOpen() {
      return inner.isOpen;
    },
    get mtu() {
      return inner.mtu;
    },
    exchangeMtu: () => Promise.resolve(nothing),
    async discover() {
      const outcome = await inner.discover();
      if (!outcome.ok) return outcome;
      const services = outcome.value.map((service): RemoteService => ({
        ...service,
        start: undefined,
        end: undefined,
        characteristics: service.characteristics.map((characteristic) => {
          const hidden: RemoteCharacteristic = {
            ...characteristic,
            handle: undefined,
            declaration: undefined,
            descriptors: characteristic.descriptors.map((descriptor) => ({ ...descriptor, handle: undefined })),
          };
          targets.set(hidden, characteristic);
          if (characteristic.handle !== undefined) byHandle.set(characteristic.handle, hidden);
          return hidden;
        }),
      }));
      return { ok: true, value: services };
    },
    read: async (target) => withoutCode(await inner.read(behind(target))),
    write: async (target, value) => withoutCode(await inner.write(behind(target), value)),
    writeWithoutResponse: async (target, value) => withoutCode(await inner.writeWithoutResponse(behind(target), value)),
    subscribe: async (target, mode) => withoutCode(await inner.subscribe(behind(target), mode)),
    onValue: (listener) =>
      inner.onValue((event: ValueEvent) => {
        const characteristic = event.handle === undefined ? undefined : byHandle.get(event.handle);
        listener({ ...event, handle: undefined, characteristic });
      }),
    exchange: () => Promise.resolve(nothing),
    confirmIndications: () => undefined,
    setSecurity: () => Promise.resolve(nothing),
    drop: (how) => inner.drop(how),
    onClose: (listener) => inner.onClose(listener),
    transcript: [],
  };
}

function withoutCode<T>(outcome: Outcome<T>): Outcome<T> {
  if (outcome.ok || outcome.failure.kind !== 'att-error') return outcome;
  return { ok: false, failure: { kind: 'att-error', code: undefined, handle: undefined } };
}
