import { bug } from '../../base/bug.ts';
import { attError } from '../../numbers/att-errors.ts';
import type { Handle, Table, ValueDefinition } from '../../table/model.ts';
import { longestValue } from '../../table/descriptors.ts';
import type { Bytes } from '../../base/bytes.ts';
import type { Need } from '../../contract/model.ts';
import type { ValueType } from '../../values/type.ts';
import { checkProgram, deepestArrays } from './check-program.ts';
import { Octets } from './octets.ts';
import type { Pool } from './pool.ts';
import type { Unpackable } from './refused.ts';

/** Octets that a board keeps and checks: a characteristic's value, or a user description that clients may write. */
export type Kept = {
  readonly handle: Handle;
  readonly type: ValueType;
  readonly min: number;
  readonly max: number;
  readonly start: Bytes;
  readonly refuseWith: number;
  readonly subscribe: Need;
  /** The characteristic's, when it is its value. */
  readonly value: ValueDefinition | undefined;
};

/** The values in their order, then the descriptions in the order of their handles. */
export function keptOf(table: Table): readonly Kept[] {
  const values = table.values.map((value): Kept => ({
    handle: value.handle,
    type: value.type,
    min: value.minLength,
    max: value.maxLength,
    start: value.start,
    refuseWith: value.refuseWith,
    subscribe: value.needs.subscribe,
    value,
  }));
  const descriptions = table.rows.flatMap(({ handle, content }): readonly Kept[] =>
    content.kind !== 'description'
      ? []
      : [
          {
            handle,
            type: { kind: 'text', encoding: 'utf8', minLength: 0, maxLength: longestValue },
            min: 0,
            max: longestValue,
            start: content.bytes,
            refuseWith: attError.valueNotAllowed,
            subscribe: 'open',
            value: undefined,
          },
        ],
  );
  return [...values, ...descriptions];
}

/** Octets that a kept value takes in the board's memory: its length stands before it unless it is fixed. */
export function slotOctets({ min, max }: Kept): number {
  return min === max ? max : 2 + max;
}

/** No such thing. */
const none16 = 0xffff;
const none8 = 0xff;

export const needNumber: Readonly<Record<Need, number>> = {
  open: 0,
  encrypted: 1,
  authenticated: 2,
  'secure-connections': 3,
};

/** @param cccds number of the CCCD by the handle of its attribute */
export function packDefinitions(
  kept: readonly Kept[],
  cccds: ReadonlyMap<Handle, number>,
  pool: Pool,
): Octets | Unpackable {
  const octets = new Octets();
  let slot = 0;
  let failsafes = 0;
  for (const one of kept) {
    const { handle, type, min, max, start, refuseWith, subscribe, value } = one;
    const program = checkProgram(type);
    if (program === undefined) {
      return {
        why: `\`${value?.id ?? ''}\` has arrays nested more than ${deepestArrays} deep`,
        remedy: 'make one array of the two innermost',
      };
    }
    const cccd = value?.cccd === undefined ? none16 : cccds.get(value.cccd);
    bug(cccd !== undefined, `no CCCD for ${value?.id ?? ''}`);
    octets.u16(handle, slot);
    octets.u32((min | (max << 10) | (start.length << 20) | (needNumber[subscribe] << 30)) >>> 0);
    octets.pool(pool.add(start));
    if (program.octets.length === 0) octets.u16(none16);
    else octets.pool(pool.add(program.octets));
    octets.u16(cccd).u8(refuseWith);
    octets.u8(value?.onLinkLoss.kind === 'set' ? failsafes++ : none8);
    slot += slotOctets(one);
  }
  return octets;
}

/** The failsafes in the order of the values. */
export function packFailsafes(table: Table, pool: Pool): Octets {
  const octets = new Octets();
  for (const { index, onLinkLoss } of table.values) {
    if (onLinkLoss.kind !== 'set') continue;
    octets.u16(index).pool(pool.add(onLinkLoss.raw)).u16(onLinkLoss.raw.length).u40(onLinkLoss.within).u8(0);
  }
  return octets;
}
