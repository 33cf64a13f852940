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
  readonly images: number;
  /** The model's largest miss as a share; the ranges below are that far to both sides. */
  readonly error: Octets;
  readonly flash: Range;
  readonly ram: Range;
  readonly parts: readonly (Octets & { readonly part: string })[];
};

/** Octets. */
type Range = { readonly low: number; readonly likely: number; readonly high: number };

const partNames: Readonly<Record<keyof TableContent, string>> = {
  rows: 'attribute rows',
  constantOctets: 'octets that never change',
  values: 'values: definitions and functions',
  valueOctets: 'octets of values',
  cccds: 'subscriptions',
  drives: 'drives',
  mtuOctets: 'buffers of the MTU',
};

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

export function contentOf({ rows, values, radio }: Table): TableContent {
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
    mtuOctets: radio.connection.mtu,
  };
}

function memoryOn(target: MeasuredTarget, content: TableContent): MemoryOfTarget {
  const keys = Object.keys(partNames) as (keyof TableContent)[];
  const parts = [
    { part: 'engine, host and port', ...target.engine },
    { part: 'console', ...target.console },
    ...keys.map((key) => ({
      part: partNames[key],
      flash: target.per[key].flash * content[key],
      ram: target.per[key].ram * content[key],
    })),
  ].filter(({ flash, ram }) => flash > 0 || ram > 0);
  const { name, toolchain, date, images, error } = target;
  const range = (likely: number, miss: number): Range => ({
    low: Math.floor(likely * (1 - miss)),
    likely: Math.round(likely),
    high: Math.ceil(likely * (1 + miss)),
  });
  return {
    name,
    toolchain,
    date,
    images,
    error,
    flash: range(
      parts.reduce((sum, { flash }) => sum + flash, 0),
      error.flash,
    ),
    ram: range(
      parts.reduce((sum, { ram }) => sum + ram, 0),
      error.ram,
    ),
    parts,
  };
}

const memoryBasis: Basis = {
  formula:
    'engine + console + Σ per row, constant octet, value, octet of value, CCCD, drive, octet of MTU × their number; range = that ± the largest miss on an image left out of the fit',
  source:
    'the contract’s exact table; whole images as the named toolchain reported them on the named day, fitted by least squares',
  assumes: [
    'two connections, as the runtime has by default',
    'the generated firmware as it is, with its first app.c and nothing of the board’s own program',
  ],
  validity: [
    'another compiler, version or option makes other sizes',
    'the stack is not in it: the images keep 4 KiB for it; a vendor’s radio host comes on top where one is used',
  ],
};
