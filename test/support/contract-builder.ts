import { us } from '../../src/base/quantity.ts';
import { rational } from '../../src/base/rational.ts';
import { nowhere } from '../../src/base/text-range.ts';
import { uuidNamespaces, uuidV5 } from '../../src/base/uuid-v5.ts';
import type { Board, Characteristic, Contract, Radio, Service, Where } from '../../src/contract/model.ts';
import { fullPhysicalRange } from '../../src/values/scale.ts';
import { defaultBytes } from '../../src/values/start.ts';
import { unscaled, type IntegerType, type TextType, type ValueType } from '../../src/values/type.ts';
import { encodeUtf8 } from '../../src/values/utf8.ts';

/**
 * Contracts as values, for tests that are not about the contract's text: each maker fills in what the test does not say.
 * All places are `nowhere`. UUIDs are made from the ids.
 */

export const unsaid: Where = { self: nowhere, keys: new Map() };

/** Keys as if the contract gave them. */
export function given(...keys: readonly string[]): Where {
  return { self: nowhere, keys: new Map(keys.map((key) => [key, { key: nowhere, value: nowhere }])) };
}

/** An integer over its whole width, unless `overrides` say otherwise. `range` in physical units, of whole numbers. */
export function integer(
  signed: boolean,
  bits: IntegerType['bits'],
  overrides: Partial<Omit<IntegerType, 'range'>> & { readonly range?: readonly [number, number] } = {},
): IntegerType {
  const { range, ...rest } = overrides;
  const scale = rest.scale ?? unscaled;
  return {
    kind: 'integer',
    signed,
    bits,
    scale,
    unit: 0x2700,
    range:
      range === undefined
        ? fullPhysicalRange(bits, signed, scale)
        : { min: rational(range[0]), max: rational(range[1]) },
    bounded: range !== undefined,
    step: undefined,
    special: [],
    ...rest,
  };
}

export const uint8 = integer(false, 8);
export const uint16 = integer(false, 16);
export const sint16 = integer(true, 16);
export const uint32 = integer(false, 32);

export function utf8(maxLength: number, minLength = 0): TextType {
  return { kind: 'text', encoding: 'utf8', minLength, maxLength };
}

/** A readable value; `start` is the type's own default. */
export function characteristic(id: string, type: ValueType, overrides: Partial<Characteristic> = {}): Characteristic {
  const access = overrides.access ?? ['read'];
  const notifies = access.includes('notify') || access.includes('indicate');
  return {
    id,
    label: id,
    uuid: uuidV5(uuidNamespaces.dns, encodeUtf8(`${id}.characteristic.test`)),
    adopted: undefined,
    type,
    access,
    needs: { read: 'open', write: 'open', subscribe: 'open' },
    notify: notifies ? { on: { kind: 'change' }, minSpacing: undefined } : undefined,
    start: defaultBytes(type),
    onLinkLoss: { kind: 'unsaid' },
    drive: undefined,
    actuator: false,
    refuseWith: 0xff,
    reliableWrite: false,
    writableLabel: false,
    waivers: [],
    where: unsaid,
    ...overrides,
  };
}

export function service(
  id: string,
  characteristics: readonly Characteristic[],
  overrides: Partial<Service> = {},
): Service {
  return {
    id,
    label: id,
    uuid: uuidV5(uuidNamespaces.dns, encodeUtf8(`${id}.service.test`)),
    secondary: false,
    includes: [],
    handles: { from: undefined, reserve: 0 },
    characteristics,
    origin: 'own',
    waivers: [],
    where: unsaid,
    ...overrides,
  };
}

/** Parts of `radio:` that differ from its defaults. */
export type RadioOverrides = {
  readonly advertise?: Partial<Radio['advertise']>;
  readonly connection?: Partial<Radio['connection']>;
};

export function radio({ advertise, connection }: RadioOverrides = {}): Radio {
  return {
    advertise: {
      interval: { min: us(100_000), max: us(100_000) },
      name: 'auto',
      services: [],
      txPower: undefined,
      manufacturerData: undefined,
      where: unsaid,
      ...advertise,
    },
    connection: {
      interval: { min: us(30_000), max: us(30_000) },
      latency: 0,
      timeout: us(4_000_000),
      mtu: 23,
      phy: '1M',
      dataLength: 27,
      where: unsaid,
      ...connection,
    },
    waivers: [],
    where: unsaid,
  };
}

/**
 * A contract with these services, on a board called `Bench`; as in the language, the first of its own services is
 * advertised unless `radio` says otherwise.
 */
export function contract(
  services: readonly Service[],
  overrides: { readonly board?: Partial<Board>; readonly radio?: RadioOverrides } = {},
): Contract {
  const name = overrides.board?.name ?? 'Bench';
  const advertised = services.find(({ origin }) => origin === 'own');
  const { advertise, connection } = overrides.radio ?? {};
  return {
    version: 1,
    board: {
      name,
      nameTemplate: name,
      unit: '',
      appearance: 0,
      information: {
        maker: undefined,
        model: undefined,
        serial: undefined,
        hardware: undefined,
        firmware: undefined,
        software: undefined,
      },
      where: unsaid,
      ...overrides.board,
    },
    uuidBase: undefined,
    radio: radio({
      advertise: { services: advertised === undefined ? [] : [advertised.id], ...advertise },
      connection: { ...connection },
    }),
    services,
    waivers: [],
    where: unsaid,
  };
}

/** An octet string, for values that a test gives itself. */
export function bytesType(maxLength: number, minLength = 0): ValueType {
  return { kind: 'bytes', minLength, maxLength };
}
