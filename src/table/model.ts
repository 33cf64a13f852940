import type { Bytes } from '../base/bytes.ts';
import type { Uuid } from '../base/uuid.ts';
import type { SourceRange } from '../base/text-range.ts';
import type { ValueType } from '../values/type.ts';
import type { Drive } from '../values/drives/model.ts';
import type { AccessWord, Need, NotifyPolicy, OnLinkLoss, Radio, DeviceInformation } from '../contract/model.ts';

/** An attribute handle, 0x0001..0xFFFF. */
export type Handle = number;

/**
 * The compiled contract: the one form that boards, firmware, clients, sheets, proofs and budgets are made from. Plain
 * data, in handle order.
 */
export type Table = {
  readonly board: {
    readonly name: string;
    readonly unit: string;
    readonly appearance: number;
    readonly information: DeviceInformation;
  };
  readonly radio: Radio;
  /** Ascending handles, not always without gaps. */
  readonly rows: readonly Row[];
  readonly services: readonly ServiceEntry[];
  /** One for each characteristic of the contract (not GAP and GATT), in handle order. */
  readonly values: readonly ValueDefinition[];
  readonly databaseHash: DatabaseHash;
  readonly advertising: AdvertisingData;
  readonly scanResponse: AdvertisingData;
};

/**
 * AES-CMAC over the attributes, Core Vol 3 Part G 7.3.1. The standard prints it most significant octet first
 * (`specification`); implementations differ on the air, and we send it as every multi-octet value is sent, least
 * significant first (`onAir`).
 */
export type DatabaseHash = { readonly specification: Bytes; readonly onAir: Bytes };

/** One attribute. */
export type Row = {
  readonly handle: Handle;
  readonly type: Uuid;
  readonly permissions: Permissions;
  readonly content: Content;
  /** For people: `tank / paddle: value`. */
  readonly about: string;
  /** The contract's words this row comes from. */
  readonly at: SourceRange;
};

/** `undefined`: not permitted at all. */
export type Permissions = {
  readonly read: Need | undefined;
  readonly write: Need | undefined;
  /** Which writes the attribute takes; both false when `write` is `undefined`. */
  readonly writeRequest: boolean;
  readonly writeCommand: boolean;
};

export type Content =
  /** Never changes: declarations, formats, names. */
  | { readonly kind: 'constant'; readonly bytes: Bytes }
  /** A characteristic's value: `values[index]` of the table. */
  | { readonly kind: 'value'; readonly index: number }
  /** A user description that a client may write (writable auxiliaries); `bytes` at power-up, at most 512 octets. */
  | { readonly kind: 'description'; readonly bytes: Bytes }
  /** Client Characteristic Configuration of the value at `of`; per client. Bits allowed: 1 notify, 2 indicate. */
  | { readonly kind: 'cccd'; readonly of: Handle; readonly allowed: number }
  /** GATT service values that the server itself answers for. */
  | { readonly kind: 'service-changed' }
  | { readonly kind: 'client-supported-features' };

export type ServiceEntry = {
  readonly id: string;
  readonly label: string;
  readonly uuid: Uuid;
  readonly secondary: boolean;
  /** Handle of the declaration. */
  readonly start: Handle;
  /** Handle of the last attribute. */
  readonly end: Handle;
  readonly characteristics: readonly CharacteristicEntry[];
};

export type CharacteristicEntry = {
  readonly id: string;
  readonly label: string;
  readonly uuid: Uuid;
  /** Property bits, Core Vol 3 Part G 3.3.1.1. */
  readonly properties: number;
  readonly declaration: Handle;
  readonly value: Handle;
  readonly cccd: Handle | undefined;
  readonly descriptors: readonly { readonly handle: Handle; readonly type: Uuid }[];
  /** Index into the table's values; `undefined` for GAP's and GATT's own. */
  readonly index: number | undefined;
};

/** What a characteristic's value is: all that a board must know to hold it and answer for it. */
export type ValueDefinition = {
  readonly index: number;
  readonly id: string;
  readonly label: string;
  readonly service: string;
  readonly uuid: Uuid;
  readonly handle: Handle;
  readonly cccd: Handle | undefined;
  readonly type: ValueType;
  readonly access: readonly AccessWord[];
  readonly needs: { readonly read: Need; readonly write: Need; readonly subscribe: Need };
  readonly notify: NotifyPolicy | undefined;
  /** Octets, both inclusive. */
  readonly minLength: number;
  readonly maxLength: number;
  readonly start: Bytes;
  readonly onLinkLoss: OnLinkLoss;
  readonly drive: Drive | undefined;
  readonly actuator: boolean;
  readonly refuseWith: number;
  readonly at: SourceRange;
};

/** Advertising or scan response data as it is sent, at most 31 octets, and how it came to be so. */
export type AdvertisingData = {
  readonly bytes: Bytes;
  readonly elements: readonly AdElement[];
  /** What was wished for and is not in `bytes`, or only in part. */
  readonly cut: readonly { readonly what: string; readonly why: string }[];
};

export type AdElement = {
  /** AD type number. */
  readonly type: number;
  readonly name: string;
  /** Offset of the length octet, and octets including it. */
  readonly offset: number;
  readonly length: number;
  readonly about: string;
};
