import { toDouble } from '../base/rational.ts';
import { toHex, type Bytes } from '../base/bytes.ts';
import { unitSymbol } from '../numbers/units.ts';
import type { Table, ValueDefinition } from '../table/model.ts';
import { decode } from '../values/codec.ts';
import { toPhysical } from '../values/physical.ts';
import { showBytes } from '../values/show.ts';
import type { ValueType } from '../values/type.ts';
import type { Entry } from './entry.ts';

/** One line of the ledger for a table of values: what CSV, Parquet and JSON lines carry. */
export type LedgerRow = {
  /** Seconds since the session began, by the host's clock. */
  readonly time: number;
  /** On which side: the board's own truth, the air, or what was due on the air and did not come. */
  readonly side: 'board' | 'air' | 'missing';
  readonly id: string;
  /** What made it change (`rig`, `air`, …), or how it crossed (`read`, `notified`, …, `read refused`). */
  readonly how: string;
  /** Hex digits. */
  readonly raw: string;
  /** In the unit; `undefined` for what is no number. 64-bit integers are rounded here and exact in `raw` and `value`. */
  readonly number: number | undefined;
  readonly unit: string;
  /** For people: `0.5 Hz`, `fluorescein`. */
  readonly value: string;
  /** The board's clock, milliseconds; only of the board's side. */
  readonly boardMs: number | undefined;
  readonly connection: number | undefined;
  /** Seconds. */
  readonly delay: number | undefined;
  /** Empty where nothing is wrong. */
  readonly mark: string;
};

/** @param entry of a ledger of this table */
export function rowOf(table: Table, entry: Entry): LedgerRow | undefined {
  const definition = table.values[entry.value];
  if (definition === undefined || entry.kind === 'link') return undefined;
  const base = {
    time: entry.at / 1e6,
    id: definition.id,
    boardMs: undefined,
    connection: undefined,
    delay: undefined,
    mark: '',
    ...meaning(definition, entry.raw),
  };
  switch (entry.kind) {
    case 'truth':
      return { ...base, side: 'board', how: entry.cause, boardMs: entry.ms };
    case 'air':
      return {
        ...base,
        side: 'air',
        how: entry.way,
        connection: entry.connection,
        delay: entry.delay === undefined ? undefined : Math.round(entry.delay) / 1e6,
        mark: entry.mark ?? '',
      };
    case 'missing':
      return { ...base, side: 'missing', how: 'due', connection: entry.connection, mark: entry.mark };
    case 'refused': {
      const code = entry.code === undefined ? '' : ` 0x${entry.code.toString(16).padStart(2, '0')}`;
      return { ...base, side: 'air', how: `${entry.access} refused${code}`, connection: entry.connection };
    }
  }
}

function meaning(
  { type }: ValueDefinition,
  raw: Bytes | undefined,
): Pick<LedgerRow, 'raw' | 'number' | 'unit' | 'value'> {
  const unit = 'unit' in type ? unitSymbol(type.unit) : '';
  if (raw === undefined) return { raw: '', number: undefined, unit, value: '' };
  return { raw: toHex(raw), number: numberOf(type, raw), unit, value: showBytes(type, raw) };
}

function numberOf(type: ValueType, raw: Bytes): number | undefined {
  const decoded = decode(type, raw);
  if (!decoded.ok) return undefined;
  const physical = toPhysical(type, decoded.value);
  return physical.kind === 'number' ? toDouble(physical.value) : undefined;
}
