import type { Table } from '../../table/model.ts';
import { typeName } from '../../values/show.ts';
import type { Basis } from '../basis.ts';
import { cutsOf, type Cut } from './cut.ts';
import { misreadings, type MisreadingReport } from './misreading.ts';
import { driveQuantisation, quantisation, type DriveQuantisation, type Quantisation } from './quantisation.ts';
import { partsOf } from './shapes.ts';

/** One number of the contract: a value, a field of a struct, the elements of an array. */
export type NumberReport = {
  /** `paddle`, `calibration.gain`, `samples[]`. */
  readonly id: string;
  readonly label: string;
  /** `uint16`. */
  readonly type: string;
  readonly coding: Quantisation;
  readonly drive: DriveQuantisation | undefined;
  /** `undefined` for floats, and for numbers that fill no whole octets. */
  readonly misreading: MisreadingReport | undefined;
};

export type Numbers = {
  readonly numbers: readonly NumberReport[];
  readonly cuts: readonly Cut[];
  readonly basis: Basis;
};

/** What coding does to the values of a contract, in handle order. */
export function numbersOf(table: Table): Numbers {
  const numbers = table.values.flatMap((value) =>
    partsOf(value).flatMap(({ id, label, type }): readonly NumberReport[] => {
      if (type.kind !== 'integer' && type.kind !== 'float') return [];
      const isInteger = type.kind === 'integer';
      return [
        {
          id,
          label,
          type: typeName(type),
          coding: quantisation(type),
          drive:
            isInteger && value.drive !== undefined && id === value.id
              ? driveQuantisation(value.drive, type)
              : undefined,
          misreading: isInteger ? misreadings(type) : undefined,
        },
      ];
    }),
  );
  return { numbers, cuts: cutsOf(table), basis: numbersBasis };
}

const numbersBasis: Basis = {
  formula:
    'step = multiplier × 10^decimal × 2^binary; worst error = step / 2; float: 2^-24 (float32), 2^-53 (float64) of the number; drive: largest |produced - coded| over all codes; converter 6.02 N + 1.76 dB',
  source:
    'GATT Specification Supplement section 2; IEEE 754 table 3.5; IEEE 11073-20601 Annex F; RFC 3629; Core Vol 3 Part F 3.4.7, Part G 5.2.1; Analog Devices MT-001',
  assumes: [
    'values asked for lie in the contract’s range and are rounded to the nearest code',
    'a mistake goes unnoticed when fewer than one value in a hundred leaves the range by it',
    'all values of the range are equally likely when shares of values are told',
  ],
  validity: [
    'sensor and actuator have errors of their own, often larger: noise, offset, drift, clock tolerance',
    'a signal-to-noise ratio is that of an ideal converter',
    'values that stay near one place may hide a mistake that others would show',
  ],
};
