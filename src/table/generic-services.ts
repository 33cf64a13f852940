import { concat, noBytes, u16le, u8, type Bytes } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { SourceRange } from '../base/text-range.ts';
import { placeOf, type Contract, type Radio } from '../contract/model.ts';
import { characteristics } from '../numbers/characteristics.ts';
import { property } from '../numbers/properties.ts';
import { services } from '../numbers/services.ts';
import { bug } from '../base/bug.ts';
import { encodeUtf8, truncateUtf8 } from '../values/utf8.ts';
import { clientConfigurationOf } from './descriptors.ts';
import { configurable, readOnly, untouchable } from './permissions.ts';
import type { PlannedCharacteristic, PlannedService } from './plan.ts';

/** Octets of a device name at most. Core Vol 3 Part C 12.1. */
export const longestName = 248;

/** The Generic Access service: name, appearance, wished connection. Core Vol 3 Part C 12. */
export function planGap({ board, radio }: Contract): PlannedService {
  const name = truncateUtf8(encodeUtf8(board.name), longestName);
  const { where } = radio.connection;
  return genericService('gap', 'Generic Access', board.where.self, [
    readable('device-name', name, placeOf(board.where, 'name')),
    readable('appearance', u16le(board.appearance), placeOf(board.where, 'appearance')),
    readable('peripheral-preferred-connection-parameters', preferredConnection(radio), where.self),
  ]);
}

/** The Generic Attribute service: how clients learn that the table changed. Core Vol 3 Part G 7. */
export function planGatt(contract: Contract): PlannedService {
  const at = contract.where.self;
  return genericService('gatt', 'Generic Attribute', at, [
    {
      ...named('service-changed', at),
      properties: property.indicate,
      permissions: untouchable,
      content: { kind: 'service-changed' },
      descriptors: [clientConfigurationOf(false, true)],
    },
    {
      ...named('client-supported-features', at),
      properties: property.read | property.write,
      permissions: configurable('open'),
      content: { kind: 'client-supported-features' },
      descriptors: [],
    },
    // The hash is over the finished table; the compiler puts it in.
    readable(databaseHashName, noBytes, at),
    // No enhanced bearers.
    readable('server-supported-features', u8(0), at),
  ]);
}

export const databaseHashName = 'database-hash';

/**
 * The value of Peripheral Preferred Connection Parameters, 8 octets: lowest and highest interval (1.25 ms), latency,
 * supervision timeout (10 ms), each brought into what Core Vol 3 Part C 12.3 allows.
 */
export function preferredConnection({ connection }: Pick<Radio, 'connection'>): Bytes {
  const { interval, latency, timeout } = connection;
  return concat(
    u16le(inSteps(interval.min, 1250, 6, 3200)),
    u16le(inSteps(interval.max, 1250, 6, 3200)),
    u16le(Math.min(latency, 499)),
    u16le(inSteps(timeout, 10_000, 10, 3200)),
  );
}

function inSteps(time: Microseconds, step: number, min: number, max: number): number {
  return Math.min(max, Math.max(min, Math.round(time / step)));
}

function genericService(
  name: string,
  label: string,
  at: SourceRange,
  own: readonly PlannedCharacteristic[],
): PlannedService {
  const assigned = services.byName(name);
  bug(assigned !== undefined, `no service ${name}`);
  return {
    id: name,
    label,
    uuid: assigned.uuid,
    secondary: false,
    includes: [],
    from: undefined,
    reserve: 0,
    characteristics: own,
    generic: true,
    at,
    includesAt: at,
    handlesAt: at,
  };
}

function readable(name: string, bytes: Bytes, at: SourceRange): PlannedCharacteristic {
  return {
    ...named(name, at),
    properties: property.read,
    permissions: readOnly,
    content: { kind: 'constant', bytes },
    descriptors: [],
  };
}

function named(name: string, at: SourceRange): Pick<PlannedCharacteristic, 'id' | 'label' | 'uuid' | 'at'> {
  const assigned = characteristics.byName(name);
  bug(assigned !== undefined, `no characteristic ${name}`);
  return { id: name, label: assigned.label, uuid: assigned.uuid, at };
}
