import { bug } from '../base/bug.ts';
import type { Bytes } from '../base/bytes.ts';
import { addressFromOctets, addressOctets, type Address } from './address.ts';

/** Reads octets from the front; every read past the end marks the cursor as cut and gives zeros. */
export class Cursor {
  readonly #octets: Bytes;
  #offset = 0;
  #cut = false;

  constructor(octets: Bytes) {
    this.#octets = octets;
  }

  /** Whether more was read than there was, or something that cannot be. */
  get cut(): boolean {
    return this.#cut;
  }

  get left(): number {
    return this.#octets.length - this.#offset;
  }

  /** Marks the octets as unreadable. */
  spoil(): void {
    this.#cut = true;
  }

  take(length: number): Bytes {
    const part = this.#octets.slice(this.#offset, this.#offset + length);
    this.#offset += part.length;
    if (part.length === length) return part;
    this.#cut = true;
    const padded = new Uint8Array(length);
    padded.set(part);
    return padded;
  }

  number(length: number): number {
    let value = 0;
    this.take(length).forEach((octet, i) => {
      value += octet * 2 ** (8 * i);
    });
    return value;
  }
}

/** One parameter of a packet: how it is read and written. Numbers are least significant octet first. */
export type Field<T> = {
  read(cursor: Cursor): T;
  write(value: T, out: number[]): void;
};

/** The parameters of a packet in their order on the wire. */
export type Layout = Readonly<Record<string, Field<unknown>>>;

/** What a layout holds once decoded. */
export type Values<L> = { readonly [K in keyof L]: L[K] extends Field<infer T> ? T : never };

function unsigned(length: number): Field<number> {
  return {
    read: (cursor) => cursor.number(length),
    write: (value, out) => {
      for (let i = 0; i < length; i++) out.push(Math.floor(value / 2 ** (8 * i)) & 0xff);
    },
  };
}

export const u8 = unsigned(1);
export const u16 = unsigned(2);
export const u24 = unsigned(3);
export const u32 = unsigned(4);

/** One octet in two's complement, -128..127. */
export const i8: Field<number> = {
  read: (cursor) => (cursor.number(1) << 24) >> 24,
  write: (value, out) => void out.push(value & 0xff),
};

/** Six octets. */
export const address: Field<Address> = {
  read: (cursor) => addressFromOctets(cursor.take(6)),
  write: (value, out) => {
    const octets = addressOctets(value);
    bug(octets !== undefined, `address ${value} is not six octets`);
    out.push(...octets);
  },
};

/** Exactly `length` octets. */
export function octets(length: number): Field<Bytes> {
  return {
    read: (cursor) => cursor.take(length),
    write: (value, out) => {
      bug(value.length === length, `${value.length} octets where ${length} belong`);
      out.push(...value);
    },
  };
}

/** All octets that are left. */
export const rest: Field<Bytes> = {
  read: (cursor) => cursor.take(cursor.left),
  write: (value, out) => void out.push(...value),
};

/** A length in one octet, then as many octets. */
export const counted: Field<Bytes> = {
  read: (cursor) => cursor.take(cursor.number(1)),
  write: (value, out) => {
    bug(value.length <= 0xff, `${value.length} octets where 255 are the most`);
    out.push(value.length, ...value);
  },
};

/** A length in one octet, then always 31 octets of which only the first `length` count. Core Vol 4 Part E 7.8.7. */
export const legacyData: Field<Bytes> = {
  read: (cursor) => {
    const length = cursor.number(1);
    const whole = cursor.take(31);
    if (length > 31) cursor.spoil();
    return whole.slice(0, length);
  },
  write: (value, out) => {
    bug(value.length <= 31, `${value.length} octets of advertising data where 31 are the most`);
    const whole = new Uint8Array(31);
    whole.set(value);
    out.push(value.length, ...whole);
  },
};

/** A count in one octet, then as many entries, each with all its parameters together. Core Vol 4 Part E 5.2. */
export function list<const L extends Layout>(layout: L): Field<readonly Values<L>[]> {
  return {
    read: (cursor) => {
      const entries: Values<L>[] = [];
      for (let left = cursor.number(1); left > 0 && !cursor.cut; left--) entries.push(read(layout, cursor));
      return entries;
    },
    write: (entries, out) => {
      out.push(entries.length);
      for (const entry of entries) write(layout, entry, out);
    },
  };
}

function read<L extends Layout>(layout: L, cursor: Cursor): Values<L> {
  const values: Record<string, unknown> = {};
  for (const name of Object.keys(layout)) values[name] = layout[name]?.read(cursor);
  return values as Values<L>;
}

function write<L extends Layout>(layout: L, values: Values<L>, out: number[]): void {
  for (const name of Object.keys(layout)) {
    layout[name]?.write((values as Record<string, unknown>)[name], out);
  }
}

/** Octets to values; `undefined` when the octets are too few or too many. */
export function decodeLayout<L extends Layout>(layout: L, octets: Bytes): Values<L> | undefined {
  const cursor = new Cursor(octets);
  const values = read(layout, cursor);
  return cursor.cut || cursor.left > 0 ? undefined : values;
}

/** Values to octets. */
export function encodeLayout<L extends Layout>(layout: L, values: Values<L>): Bytes {
  const out: number[] = [];
  write(layout, values, out);
  return Uint8Array.from(out);
}
