import type { MeasuredTarget } from './model.ts';

/** Every target that has been measured; `bench/measure-memory.ts` writes this file. */
export const measuredTargets: readonly MeasuredTarget[] = [
  {
    name: 'rp2040, Cortex-M0+, -Os, with console',
    toolchain: 'arm-none-eabi-gcc 12.2.1',
    date: '2026-11-25',
    engine: {
      flash: 21989,
      ram: 3733,
    },
    console: {
      flash: 16976,
      ram: 600,
    },
    per: {
      rows: {
        flash: 0,
        ram: 0,
      },
      constantOctets: {
        flash: 0,
        ram: 0,
      },
      values: {
        flash: 84.4,
        ram: 0,
      },
      valueOctets: {
        flash: 0.747,
        ram: 2.62,
      },
      cccds: {
        flash: 0,
        ram: 13.4,
      },
      drives: {
        flash: 228,
        ram: 0,
      },
      mtuOctets: {
        flash: 0,
        ram: 5.84,
      },
    },
    images: 12,
    error: {
      flash: 0.045,
      ram: 0.071,
    },
  },
  {
    name: 'microbit, Cortex-M0, -Os, without console',
    toolchain: 'arm-none-eabi-gcc 12.2.1',
    date: '2026-11-25',
    engine: {
      flash: 21435,
      ram: 1686,
    },
    console: {
      flash: 0,
      ram: 0,
    },
    per: {
      rows: {
        flash: 0,
        ram: 0,
      },
      constantOctets: {
        flash: 0,
        ram: 0,
      },
      values: {
        flash: 84.3,
        ram: 0,
      },
      valueOctets: {
        flash: 0.712,
        ram: 1.73,
      },
      cccds: {
        flash: 0,
        ram: 36.1,
      },
      drives: {
        flash: 231,
        ram: 0,
      },
      mtuOctets: {
        flash: 0,
        ram: 6.09,
      },
    },
    images: 12,
    error: {
      flash: 0.074,
      ram: 0.024,
    },
  },
];
