import type { SourceRange } from '../base/text-range.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { Uuid } from '../base/uuid.ts';
import type { Bytes } from '../base/bytes.ts';
import type { ValueType } from '../values/type.ts';
import type { Drive } from '../values/drives/model.ts';

/**
 * The checked contract. Every default is filled here; nothing below this room guesses. Arrays keep the order of the
 * text. Each entity knows where it was written, and which of its keys were given.
 */
export type Contract = {
  readonly version: 1;
  readonly board: Board;
  readonly uuidBase: Uuid | undefined;
  readonly radio: Radio;
  /** Services of `use:` first, then the contract's own, in the order of the text. */
  readonly services: readonly Service[];
  /** Waivers of the whole contract; entities have their own. */
  readonly waivers: readonly Waiver[];
  readonly where: Where;
};

/** Places of an entity's keys in the text. */
export type Where = {
  /** The whole entity. */
  readonly self: SourceRange;
  /** By key as written; a key is here only if the contract gives it. */
  readonly keys: ReadonlyMap<string, { readonly key: SourceRange; readonly value: SourceRange }>;
};

/** The place of a key's value, or of the entity's first word when the key was left to its default. */
export function placeOf(where: Where, key: string): SourceRange {
  return where.keys.get(key)?.value ?? where.self;
}

export function isGiven(where: Where, key: string): boolean {
  return where.keys.has(key);
}

export type Waiver = {
  /** The code of a warning or note. */
  readonly finding: string;
  /** The written reason, never empty. */
  readonly because: string;
  readonly at: SourceRange;
};

export type Board = {
  /** With `{unit}` filled in. */
  readonly name: string;
  readonly nameTemplate: string;
  readonly unit: string;
  /** 16-bit appearance value. */
  readonly appearance: number;
  readonly information: DeviceInformation;
  readonly where: Where;
};

/** Texts of the Device Information service; `undefined` for what the contract leaves out. */
export type DeviceInformation = {
  readonly maker: string | undefined;
  readonly model: string | undefined;
  readonly serial: string | undefined;
  readonly hardware: string | undefined;
  readonly firmware: string | undefined;
  readonly software: string | undefined;
};

export type Phy = '1M' | '2M' | 'coded-s2' | 'coded-s8';

export type Radio = {
  readonly advertise: {
    readonly interval: TimeRange;
    /** Where the name goes. `auto`: advertising data if it fits, else the scan response. */
    readonly name: 'auto' | 'advertising' | 'scan-response' | 'none';
    /** Ids of the services whose UUIDs are advertised, in order. */
    readonly services: readonly string[];
    /** dBm, -127..127; `undefined`: not advertised. */
    readonly txPower: number | undefined;
    readonly manufacturerData: { readonly company: number; readonly data: Bytes } | undefined;
    readonly where: Where;
  };
  readonly connection: {
    readonly interval: TimeRange;
    /** Connection events the peripheral may skip. */
    readonly latency: number;
    /** Supervision timeout. */
    readonly timeout: Microseconds;
    /** The ATT MTU the contract counts on, octets. */
    readonly mtu: number;
    readonly phy: Phy;
    /** Largest link-layer payload, octets, 27..251. */
    readonly dataLength: number;
    readonly where: Where;
  };
  readonly waivers: readonly Waiver[];
  readonly where: Where;
};

/** Inclusive; equal bounds for one value. */
export type TimeRange = { readonly min: Microseconds; readonly max: Microseconds };

export type Service = {
  readonly id: string;
  readonly label: string;
  readonly uuid: Uuid;
  readonly secondary: boolean;
  /** Ids of included services. */
  readonly includes: readonly string[];
  /** `from`: handle of the declaration, pinned. `reserve`: handles kept free behind the service for later growth. */
  readonly handles: { readonly from: number | undefined; readonly reserve: number };
  readonly characteristics: readonly Characteristic[];
  /** How the service came here. */
  readonly origin: 'own' | 'use' | 'board-information';
  readonly waivers: readonly Waiver[];
  readonly where: Where;
};

export type AccessWord = 'read' | 'write' | 'write-without-response' | 'notify' | 'indicate';

/** What a link must be before a value may be touched; each level includes those before it. */
export type Need = 'open' | 'encrypted' | 'authenticated' | 'secure-connections';

export type NotifyPolicy = {
  /** On each change of the value, or every `period` whether it changed or not. */
  readonly on: { readonly kind: 'change' } | { readonly kind: 'every'; readonly period: Microseconds };
  /** Shortest time between two notifications; the latest value wins. `undefined`: no bound (a lint warns). */
  readonly minSpacing: Microseconds | undefined;
};

export type OnLinkLoss =
  /** The contract says nothing. */
  | { readonly kind: 'unsaid' }
  /** Said to stay as it is. */
  | { readonly kind: 'keep' }
  /** Takes the value `raw` at most `within` after the link is lost. */
  | { readonly kind: 'set'; readonly raw: Bytes; readonly within: Microseconds };

export type Characteristic = {
  /** Unique in the contract; also its name on the console. */
  readonly id: string;
  readonly label: string;
  readonly uuid: Uuid;
  /** The assigned name when the characteristic is an adopted one: `temperature`. */
  readonly adopted: string | undefined;
  readonly type: ValueType;
  /** In the order given, without repeats. */
  readonly access: readonly AccessWord[];
  readonly needs: { readonly read: Need; readonly write: Need; readonly subscribe: Need };
  /** `undefined` unless access has notify or indicate. */
  readonly notify: NotifyPolicy | undefined;
  /** The value at power-up, encoded. */
  readonly start: Bytes;
  readonly onLinkLoss: OnLinkLoss;
  readonly drive: Drive | undefined;
  /** True for what moves, heats, lights or sounds: given, or taken from a drive that acts on the world. */
  readonly actuator: boolean;
  /** ATT error for a value outside the range: 0xFF (common profile, Out of Range) or 0x80..0x9F. */
  readonly refuseWith: number;
  /** Extended Properties bit 0: reliable write. */
  readonly reliableWrite: boolean;
  /** Extended Properties bit 1: the label can be written by a client. */
  readonly writableLabel: boolean;
  readonly waivers: readonly Waiver[];
  readonly where: Where;
  /** Where each field of a struct was written, by path: `gain`, `outer.inner`. */
  readonly fieldPlaces?: ReadonlyMap<string, Where>;
};

export function everyCharacteristic(
  contract: Contract,
): readonly { readonly service: Service; readonly characteristic: Characteristic }[] {
  return contract.services.flatMap((service) =>
    service.characteristics.map((characteristic) => ({ service, characteristic })),
  );
}
