import type { Table } from '../../table/model.ts';
import type { Basis } from '../basis.ts';
import { measuredTargets } from './measured.ts';
import type { MeasuredTarget, Octets, TableContent } from './model.ts';

export type Memory = {
  readonly content: TableContent;
  /** By the last measured model; empty while none has been measured. */
  readonly targets: readonly MemoryOfTarget[];
  /** Why there is no figure; `undefined` when there is one. */
  readonly unknown: string | undefined;
  readonly basis: Basis;
};

export type MemoryOfTarget = {
  readonly name: string;
  readonly toolchain: string;
  /** Of the measurement, ISO 8601. */
  readonly date: string;
  /** The model's largest miss as a share; the ranges below are that far to both sides. */
  readonly error: number;
  readonly flash: Range;
  readonly ram: Range;
  readonly parts: readonly (Octets & { readonly part: string })[];
};

/** Octets. */
type Range = { readonly low: number; readonly likely: number; readonly high: number };

/** Octets that a CCCD takes for one client. Core Vol 3 Part G 3.3.3.3. */
const cccdOctets = 2;

/** Flash and RAM of the generated firmware for this contract. */
export function memoryOf(table: Table, targets: readonly MeasuredTarget[] = measuredTargets): Memory {
  const content = contentOf(table);
  return {
    content,
    targets: targets.map((target) => memoryOn(target, content)),
    unknown: targets.length === 0 ? 'no firmware of this project has been measured yet' : undefined,
    basis: memoryBasis,
  };
}

function contentOf({ rows, values }: Table): TableContent {
  return {
    rows: rows.length,
    constantOctets: rows.reduce(
      (sum, { content }) =>
        sum + (content.kind === 'constant' || content.kind === 'description' ? content.bytes.length : 0),
      0,
    ),
    values: values.length,
    valueOctets: values.reduce((sum, { maxLength }) => sum + maxLength, 0),
    cccds: rows.filter(({ content }) => content.kind === 'cccd').length,
    drives: values.filter(({ drive }) => drive !== undefined).length,
  };
}

function memoryOn(target: MeasuredTarget, content: TableContent): MemoryOfTarget {
  const times = ({ flash, ram }: Octets, count: number): Octets => ({ flash: flash * count, ram: ram * count });
  const parts = [
    { part: 'engine', ...target.engine },
    { part: 'console', ...target.console },
    { part: 'attribute table', ...times(target.perRow, content.rows) },
    { part: 'constant values', flash: content.constantOctets, ram: 0 },
    { part: 'values', flash: target.perValue.flash * content.values, ram: target.perValue.ram * content.values },
    { part: 'octets of values', flash: content.valueOctets, ram: content.valueOctets },
    { part: 'drives', ...times(target.perDrive, content.drives) },
    { part: 'one connection', flash: 0, ram: target.perConnection + cccdOctets * content.cccds },
  ];
  const { name, toolchain, date, error } = target;
  const range = (likely: number): Range => ({
    low: Math.floor(likely * (1 - error)),
    likely: Math.round(likely),
    high: Math.ceil(likely * (1 + error)),
  });
  return {
    name,
    toolchain,
    date,
    error,
    flash: range(parts.reduce((sum, { flash }) => sum + flash, 0)),
    ram: range(parts.reduce((sum, { ram }) => sum + ram, 0)),
    parts,
  };
}

const memoryBasis: Basis = {
  formula:
    'engine + console + rows × per row + constant octets + values × per value + octets of values + drives × per drive + connection + 2 octets a CCCD',
  source:
    'the contract’s exact table; sizes as the named toolchain reported them on the named day; Core Vol 3 Part G 3.3.3.3',
  assumes: ['one connection', 'the generated firmware as it is, without the board’s own program'],
  validity: [
    'another compiler, version or option makes other sizes',
    'stack, the C library, the vendor’s radio host and start-up code come on top',
  ],
};
