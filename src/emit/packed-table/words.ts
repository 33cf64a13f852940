import type { Table } from '../../table/model.ts';
import { unitSymbol } from '../../numbers/units.ts';
import { unscaled, type Scale, type ValueType } from '../../values/type.ts';
import { encodeUtf8, truncateUtf8 } from '../../values/utf8.ts';
import { Octets } from './octets.ts';
import type { Pool } from './pool.ts';

/** `enum gw_show`. */
const show = { hex: 0, boolean: 1, unsigned: 2, signed: 3, enum: 4, flags: 5, utf8: 6 } as const;

/** Octets of the entry of the board and of one value. */
const boardEntry = 3;
const valueEntry = 17;

/** Octets of a text, and names of a value, at most. */
const most = 255;

/** What people see of a board: all that a console or a screen needs and the radio does not. */
export function packWords(table: Table, pool: Pool): Octets {
  const octets = new Octets();
  const names = new Octets();
  const text = (into: Octets, words: string): void => {
    const bytes = truncateUtf8(encodeUtf8(words), most);
    into.pool(pool.add(bytes)).u8(bytes.length);
  };
  const namesAt = boardEntry + valueEntry * table.values.length;
  text(octets, table.board.name);
  for (const { id, label, type } of table.values) {
    const shown = showing(type);
    const listed = shown.names.slice(0, most);
    text(octets, id);
    text(octets, label);
    text(octets, shown.unit);
    octets.u8(shown.how).u16(shown.scale.multiplier).u8(shown.scale.decimal, shown.scale.binary);
    octets.u16(namesAt + names.length).u8(listed.length);
    for (const { code, name } of listed) text(names.u32(code), name);
  }
  return octets.append(names);
}

type Showing = {
  readonly how: number;
  readonly scale: Scale;
  readonly unit: string;
  readonly names: readonly { readonly code: number; readonly name: string }[];
};

function showing(type: ValueType): Showing {
  const plain = { scale: unscaled, unit: '', names: [] };
  switch (type.kind) {
    case 'boolean':
      return { ...plain, how: show.boolean };
    case 'integer':
      if (type.bits > 64) return { ...plain, how: show.hex };
      return {
        how: type.signed ? show.signed : show.unsigned,
        scale: type.scale,
        unit: unitSymbol(type.unit),
        names: type.special.flatMap(({ code, name }) => shortCode(code, name)),
      };
    case 'enum':
      return { ...plain, how: show.enum, names: type.names.flatMap(({ code, name }) => shortCode(code, name)) };
    case 'flags':
      return { ...plain, how: show.flags, names: type.names.map(({ bit, name }) => ({ code: bit, name })) };
    case 'text':
      return { ...plain, how: type.encoding === 'utf8' ? show.utf8 : show.hex };
    case 'float':
    case 'bytes':
    case 'struct':
    case 'array':
      return { ...plain, how: show.hex };
  }
}

/** Codes that fit 32 bits, two's complement; a small board names no others. */
function shortCode(code: bigint, name: string): readonly { readonly code: number; readonly name: string }[] {
  const fits = code >= -(1n << 31n) && code < 1n << 32n;
  return fits ? [{ code: Number(BigInt.asUintN(32, code)), name }] : [];
}
