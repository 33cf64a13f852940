import { bug } from '../base/bug.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import type { Uuid } from '../base/uuid.ts';
import { deviceFormats, timeFormats } from './adopted-device.ts';
import { environmentFormats } from './adopted-environment.ts';
import { quantityFormats } from './adopted-quantity.ts';
import type { AdoptedFormat } from './adopted-format.ts';
import type { AdoptedType } from './adopted-type.ts';
import { characteristics } from './characteristics.ts';
import { services } from './services.ts';

export type AdoptedAccess = 'read' | 'write' | 'write-without-response' | 'notify' | 'indicate';

/** A characteristic whose format the standard gives. */
export type AdoptedCharacteristic = {
  readonly uuid: Uuid;
  /** `battery-level` */
  readonly name: string;
  /** `Battery Level` */
  readonly label: string;
  /** Can be taken as a value type as it is. */
  readonly type: AdoptedType;
  /** What it has where nothing else is said. */
  readonly access: readonly AdoptedAccess[];
  /** Shortest time between notifications where nothing else is said; `undefined`: no bound. */
  readonly minSpacing: Microseconds | undefined;
  /** Whether the format was read in a document that quotes the standard, or is from memory. */
  readonly certainty: 'seen' | 'memory';
};

/** A service that `use:` can name. */
export type AdoptedService = {
  readonly uuid: Uuid;
  readonly name: string;
  readonly label: string;
  /** What the service has when the contract lists nothing; the access is the service's own. */
  readonly characteristics: readonly AdoptedCharacteristic[];
};

const formats: Readonly<Record<string, AdoptedFormat>> = {
  ...deviceFormats,
  ...timeFormats,
  ...environmentFormats,
  ...quantityFormats,
};

/**
 * All adopted characteristics with a format here, by ascending UUID. Formats that depend on flags within the value (Heart
 * Rate Measurement, Temperature Measurement, …) are not among them: the contract's types cannot say them.
 */
export const adoptedCharacteristics: readonly AdoptedCharacteristic[] = characteristics.all.flatMap(
  ({ uuid, name, label }) => {
    const format = Object.hasOwn(formats, name) ? formats[name] : undefined;
    return format === undefined ? [] : [{ uuid, name, label, ...format, access: ['read'], minSpacing: undefined }];
  },
);

const byName = new Map(adoptedCharacteristics.map((entry) => [entry.name, entry]));
const byUuid = new Map(adoptedCharacteristics.map((entry) => [entry.uuid, entry]));

export function adoptedCharacteristic(name: string): AdoptedCharacteristic | undefined {
  return byName.get(name);
}

/** For a characteristic that uses an assigned UUID without saying `adopted:`. */
export function adoptedByUuid(uuid: Uuid): AdoptedCharacteristic | undefined {
  return byUuid.get(uuid);
}

/**
 * Services whose mandatory characteristics the contract's types can say. The access is what the service's own
 * specification demands, and what is usual where it leaves a choice (from memory).
 */
export const adoptedServices: readonly AdoptedService[] = [
  service('immediate-alert', { 'alert-level': ['write-without-response'] }),
  service('link-loss', { 'alert-level': ['read', 'write'] }),
  service('tx-power', { 'tx-power-level': ['read'] }),
  service('current-time', { 'current-time': ['read', 'notify'] }),
  // Its texts come from the contract's `board:`.
  service('device-information', {}),
  // A battery changes slowly: one notification a minute is enough.
  service('battery', { 'battery-level': ['read', 'notify'] }, us(60_000_000)),
  service('environmental-sensing', { temperature: ['read'], humidity: ['read'], pressure: ['read'] }),
];

const servicesByName = new Map(adoptedServices.map((entry) => [entry.name, entry]));

export function adoptedService(name: string): AdoptedService | undefined {
  return servicesByName.get(name);
}

function service(
  name: string,
  access: Readonly<Record<string, readonly AdoptedAccess[]>>,
  minSpacing?: Microseconds,
): AdoptedService {
  const assigned = services.byName(name);
  bug(assigned !== undefined, `no service ${name}`);
  const { uuid, label } = assigned;
  const own = Object.entries(access).map(([characteristic, words]) => {
    const format = byName.get(characteristic);
    bug(format !== undefined, `no adopted characteristic ${characteristic}`);
    return { ...format, access: words, minSpacing };
  });
  return { uuid, name, label, characteristics: own };
}
