import { uuid16, type Uuid } from '../base/uuid.ts';
import { unitRows } from './unit-table.ts';

/** An assigned unit of measurement. */
export type Unit = {
  /** 0x2700..0x27C9; stands in presentation formats. */
  readonly code: number;
  readonly uuid: Uuid;
  /** The one short name that contracts and findings use: `hertz`, `degree celsius`, `metre per second`. Unique. */
  readonly name: string;
  /** As the SIG writes it: `frequency (hertz)`. */
  readonly label: string;
  /** As it stands behind a number: `Hz`, `°C`, `m/s²`; empty for a pure number. Not unique. */
  readonly symbol: string;
};

/** Ascending by code. */
export const units: readonly Unit[] = unitRows.map(([code, label, name, symbol]) => ({
  code,
  uuid: uuid16(code),
  name,
  label: label.replace('~', name),
  symbol,
}));

const byCode = new Map(units.map((unit) => [unit.code, unit]));
const byShortName = new Map(units.map((unit) => [unit.name, unit]));
/** Made when it is first needed: most contracts write the short names, and starting should not wait for the rest. */
let byKey: ReadonlyMap<string, Unit> | undefined;

function spellings(): ReadonlyMap<string, Unit> {
  const found = new Map<string, Unit>();
  for (const [code, , , , ...aliases] of unitRows) {
    const unit = byCode.get(code);
    if (unit !== undefined) for (const text of [unit.name, unit.label, ...aliases]) found.set(key(text), unit);
  }
  return found;
}

/**
 * Finds a unit by its short name, by the SIG's full name, or by a usual spelling of either: case, hyphens and brackets do
 * not count, nor does singular or plural, nor `meter` for `metre`. Symbols are no names: see {@link unitsBySymbol}.
 */
export function unitByName(text: string): Unit | undefined {
  const exact = byShortName.get(text);
  if (exact !== undefined) return exact;
  byKey ??= spellings();
  return byKey.get(key(text));
}

/** By its number, 0x2722. */
export function unitByCode(code: number): Unit | undefined {
  return byCode.get(code);
}

/** `Hz`; empty for unitless, and for a number that is no unit. */
export function unitSymbol(code: number): string {
  return byCode.get(code)?.symbol ?? '';
}

/** The units written with a symbol, for a hint to who wrote `Hz` or `W/m²`; case counts, `^2` and `2` may stand for `²`. */
export function unitsBySymbol(text: string): readonly Unit[] {
  const wanted = plain(text.trim());
  return wanted === '' ? [] : units.filter((unit) => plain(unit.symbol) === wanted);
}

/**
 * Units that a text which is no name may mean, because several are measured in it: `watt per square metre` is heat flux
 * density or irradiance. Empty when nothing fits.
 */
export function unitsMeasuredIn(text: string): readonly Unit[] {
  const wanted = key(text);
  return units.filter((unit) => {
    const inBrackets = /\((.*)\)$/.exec(unit.label)?.[1];
    return inBrackets !== undefined && key(inBrackets) === wanted;
  });
}

/** The text with everything removed that does not tell units apart. */
function key(text: string): string {
  const start = text.slice(0, 100).toLowerCase();
  // The tables behind `normalize` are slow to load, and plain letters do not need them.
  return (/^[\x20-\x7e]*$/.test(start) ? start : start.normalize('NFC'))
    .split(/[^a-zåö0-9]+/)
    .filter((word) => word !== '')
    .map((word) =>
      singular(word)
        .replace(/meter$/, 'metre')
        .replace(/liter$/, 'litre'),
    )
    .join(' ');
}

function singular(word: string): string {
  if (word === 'feet') return 'foot';
  if (word === 'inches') return 'inch';
  return word.length > 3 ? word.replace(/s$/, '') : word;
}

function plain(symbol: string): string {
  return symbol
    .replace(/\^/g, '')
    .replace(/²/g, '2')
    .replace(/³/g, '3')
    .replace(/[·*.\s]/g, '')
    .replace(/[ΩΩ]/g, 'Ω');
}
