import { concat, noBytes, u16le, u8, type Bytes } from '../../src/base/bytes.ts';
import { nowhere } from '../../src/base/text-range.ts';
import { parseUuid, uuidBytes, type Uuid } from '../../src/base/uuid.ts';
import type { AccessWord, Need } from '../../src/contract/model.ts';
import { attributeType } from '../../src/numbers/descriptors.ts';
import { property } from '../../src/numbers/properties.ts';
import type { Content, Handle, Permissions, Row, ServiceEntry, Table, ValueDefinition } from '../../src/table/model.ts';
import { lengthRange } from '../../src/values/codec.ts';
import type { ValueType } from '../../src/values/type.ts';
import { integer, radio, uint16, uint8, utf8 } from './contract-builder.ts';

/** A table made by hand, row by row, so that tests of the server do not lean on the compiler. */
export type CharacteristicSpec = {
  readonly id: string;
  readonly uuid: string;
  /** Default: uint8 without bounds. Without effect where `content` is given. */
  readonly type?: ValueType;
  readonly access?: readonly AccessWord[];
  readonly needs?: { readonly read?: Need; readonly write?: Need; readonly subscribe?: Need };
  readonly start?: Bytes;
  readonly refuseWith?: number;
  /** For characteristics that are not the contract's own. */
  readonly content?: Content;
  /** A user description, writable or not. */
  readonly label?: { readonly text: Bytes; readonly writable: boolean };
};

export type ServiceSpec = {
  readonly uuid: string;
  readonly secondary?: boolean;
  readonly includes?: readonly { readonly uuid: string; readonly start: Handle; readonly end: Handle }[];
  readonly characteristics?: readonly CharacteristicSpec[];
  /** Handle of the declaration; default the next. */
  readonly at?: Handle;
};

const readOnly: Permissions = { read: 'open', write: undefined, writeRequest: false, writeCommand: false };

export function uuid(text: string): Uuid {
  const parsed = parseUuid(text);
  if (parsed === undefined) throw new Error(`no UUID: ${text}`);
  return parsed;
}

export function handTable(services: readonly ServiceSpec[], mtu = 517, hash: Bytes = new Uint8Array(16)): Table {
  const rows: Row[] = [];
  const values: ValueDefinition[] = [];
  const entries: ServiceEntry[] = [];
  let handle = 1;
  const add: Add = (type, permissions, content, about) => {
    const made = typeof content === 'function' ? content(handle) : content;
    rows.push({ handle, type, permissions, content: made, about, at: nowhere });
    return handle++;
  };
  const constant = (bytes: Bytes): Content => ({ kind: 'constant', bytes });
  for (const service of services) {
    handle = service.at ?? handle;
    const declaration = service.secondary === true ? attributeType.secondaryService : attributeType.primaryService;
    const start = add(declaration, readOnly, constant(uuidBytes(uuid(service.uuid))), `${service.uuid}: service`);
    for (const include of service.includes ?? []) {
      const short = include.uuid.length === 4 ? uuidBytes(uuid(include.uuid)) : noBytes;
      const value = concat(u16le(include.start), u16le(include.end), short);
      add(attributeType.include, readOnly, constant(value), `include ${include.uuid}`);
    }
    const characteristics = (service.characteristics ?? []).map((spec) => addCharacteristic(spec, add, values));
    entries.push({
      id: service.uuid,
      label: service.uuid,
      uuid: uuid(service.uuid),
      secondary: service.secondary ?? false,
      start,
      end: handle - 1,
      characteristics,
    });
  }
  const empty = { bytes: noBytes, elements: [], cut: [] };
  return {
    board: {
      name: 'Bench',
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
    },
    radio: radio({ connection: { mtu } }),
    rows,
    services: entries,
    values,
    databaseHash: { specification: Uint8Array.from(hash).reverse(), onAir: hash },
    advertising: empty,
    scanResponse: empty,
  };
}

type Add = (
  type: Uuid,
  permissions: Permissions,
  content: Content | ((handle: Handle) => Content),
  about: string,
) => Handle;

function addCharacteristic(
  spec: CharacteristicSpec,
  add: Add,
  values: ValueDefinition[],
): ServiceEntry['characteristics'][number] {
  const access = spec.access ?? ['read'];
  const can = (word: AccessWord): boolean => access.includes(word);
  const properties =
    (can('read') ? property.read : 0) |
    (can('write') ? property.write : 0) |
    (can('write-without-response') ? property.writeWithoutResponse : 0) |
    (can('notify') ? property.notify : 0) |
    (can('indicate') ? property.indicate : 0);
  const needs = {
    read: spec.needs?.read ?? 'open',
    write: spec.needs?.write ?? 'open',
    subscribe: spec.needs?.subscribe ?? 'open',
  } as const;
  const type = uuid(spec.uuid);
  const declaration = add(
    attributeType.characteristic,
    readOnly,
    (handle) => ({ kind: 'constant', bytes: concat(u8(properties), u16le(handle + 1), uuidBytes(type)) }),
    `${spec.id}: declaration`,
  );
  const valueHandle = declaration + 1;
  const index = spec.content === undefined ? values.length : undefined;
  const writable = can('write') || can('write-without-response');
  const permissions: Permissions = {
    read: can('read') ? needs.read : undefined,
    write: writable ? needs.write : undefined,
    writeRequest: can('write'),
    writeCommand: can('write-without-response'),
  };
  add(type, permissions, spec.content ?? { kind: 'value', index: values.length }, `${spec.id}: value`);
  const subscribable = (can('notify') ? 1 : 0) | (can('indicate') ? 2 : 0);
  const configuration: Permissions = { read: 'open', write: needs.subscribe, writeRequest: true, writeCommand: false };
  const cccd =
    subscribable === 0
      ? undefined
      : add(
          attributeType.clientConfiguration,
          configuration,
          { kind: 'cccd', of: valueHandle, allowed: subscribable },
          `${spec.id}: CCCD`,
        );
  const descriptors = cccd === undefined ? [] : [{ handle: cccd, type: attributeType.clientConfiguration }];
  if (spec.label !== undefined) {
    const { text, writable: changeable } = spec.label;
    const handle = add(
      attributeType.userDescription,
      { read: 'open', write: changeable ? 'open' : undefined, writeRequest: changeable, writeCommand: false },
      changeable ? { kind: 'description', bytes: text } : { kind: 'constant', bytes: text },
      `${spec.id}: description`,
    );
    descriptors.push({ handle, type: attributeType.userDescription });
  }
  if (index !== undefined) {
    const valueType = spec.type ?? uint8;
    const { min, max } = lengthRange(valueType);
    values.push({
      index,
      id: spec.id,
      label: spec.id,
      service: '',
      uuid: type,
      handle: valueHandle,
      cccd,
      type: valueType,
      access,
      needs,
      notify: undefined,
      minLength: min,
      maxLength: max,
      start: spec.start ?? new Uint8Array(min),
      onLinkLoss: { kind: 'unsaid' },
      drive: undefined,
      actuator: false,
      refuseWith: spec.refuseWith ?? 0xff,
      at: nowhere,
    });
  }
  return {
    id: spec.id,
    label: spec.id,
    uuid: type,
    properties,
    declaration,
    value: valueHandle,
    cccd,
    descriptors,
    index,
  };
}

/** The lab's own characteristic, by number. */
export function ownUuid(n: number): string {
  return `6b1d${n.toString(16).padStart(4, '0')}-0f5e-4c3a-9a77-2f0c5b8e41d0`;
}

/**
 * GAP and GATT as every board has them: handles 0x0001..0x0003 Device Name, 0x0004..0x0005 Appearance, 0x0006 GATT,
 * 0x0008 Service Changed, 0x0009 its CCCD, 0x000B Client Supported Features, 0x000D Database Hash.
 */
export function genericServices(hash: Bytes = new Uint8Array(16)): readonly ServiceSpec[] {
  return [
    {
      uuid: '1800',
      characteristics: [
        { id: 'name', uuid: '2A00', content: { kind: 'constant', bytes: Uint8Array.of(0x42, 0x65, 0x6e, 0x63, 0x68) } },
        { id: 'appearance', uuid: '2A01', content: { kind: 'constant', bytes: Uint8Array.of(0x40, 0x05) } },
      ],
    },
    {
      uuid: '1801',
      characteristics: [
        { id: 'service-changed', uuid: '2A05', access: ['indicate'], content: { kind: 'service-changed' } },
        { id: 'features', uuid: '2B29', access: ['read', 'write'], content: { kind: 'client-supported-features' } },
        { id: 'hash', uuid: '2B2A', content: { kind: 'constant', bytes: hash } },
      ],
    },
  ];
}

/** Handles of {@link labTable}'s values. */
export const lab = {
  /** uint8, 0 to 100; read, write, notify; CCCD behind it. Refused with 0x80. */
  level: 0x10,
  levelCccd: 0x11,
  /** Text of 0 to 60 octets; read, write, write without response; a label that may be written behind it. */
  note: 0x13,
  noteLabel: 0x14,
  /** 30 octets; read. */
  block: 0x16,
  /** uint16; read, indicate; CCCD behind it. */
  alarm: 0x18,
  alarmCccd: 0x19,
  /** uint8; read, write and subscribe need encryption; notify; CCCD behind it. */
  secret: 0x1b,
  secretCccd: 0x1c,
  /** uint8; read needs an authenticated key, write LE Secure Connections. */
  vault: 0x1e,
  /** uint8; only write without response. */
  pulse: 0x20,
  /** uint8; notify and indicate; not readable. */
  both: 0x22,
  bothCccd: 0x23,
} as const;

/** Indices of the same values. */
export const labIndex = { level: 0, note: 1, block: 2, alarm: 3, secret: 4, vault: 5, pulse: 6, both: 7 } as const;

/** A board with one of everything behind the generic services. */
export function labTable(mtu = 517, hash?: Bytes): Table {
  return handTable(
    [
      ...genericServices(hash),
      {
        uuid: ownUuid(1),
        characteristics: [
          {
            id: 'level',
            uuid: ownUuid(2),
            type: integer(false, 8, { range: [0, 100] }),
            access: ['read', 'write', 'notify'],
            start: u8(42),
            refuseWith: 0x80,
          },
          {
            id: 'note',
            uuid: ownUuid(3),
            type: utf8(60),
            access: ['read', 'write', 'write-without-response'],
            start: Uint8Array.of(0x68, 0x69),
            label: { text: Uint8Array.of(0x4e, 0x6f, 0x74, 0x65), writable: true },
          },
          {
            id: 'block',
            uuid: ownUuid(4),
            type: { kind: 'bytes', minLength: 30, maxLength: 30 },
            start: Uint8Array.from({ length: 30 }, (_, i) => i),
          },
          { id: 'alarm', uuid: ownUuid(5), type: uint16, access: ['read', 'indicate'], start: u16le(0x1234) },
          {
            id: 'secret',
            uuid: ownUuid(6),
            access: ['read', 'write', 'notify'],
            needs: { read: 'encrypted', write: 'encrypted', subscribe: 'encrypted' },
          },
          {
            id: 'vault',
            uuid: ownUuid(7),
            access: ['read', 'write'],
            needs: { read: 'authenticated', write: 'secure-connections' },
          },
          { id: 'pulse', uuid: ownUuid(8), access: ['write-without-response'] },
          { id: 'both', uuid: ownUuid(9), access: ['notify', 'indicate'], start: u8(7) },
        ],
      },
    ],
    mtu,
    hash,
  );
}
