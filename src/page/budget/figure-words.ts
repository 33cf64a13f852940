import type { SupplyKey } from '../../budget/energy/supply.ts';

/** What a figure of the supply is called, and its unit. */
export const figureWords: Readonly<Record<SupplyKey, { readonly name: string; readonly unit: string }>> = {
  sleepUa: { name: 'Current asleep', unit: 'µA' },
  cpuMa: { name: 'Processor current', unit: 'mA' },
  cpuPerEventUs: { name: 'Processor time an event', unit: 'µs' },
  transmitMa: { name: 'Transmit current', unit: 'mA' },
  receiveMa: { name: 'Receive current', unit: 'mA' },
  rampMa: { name: 'Radio start current', unit: 'mA' },
  rampUs: { name: 'Radio start time', unit: 'µs' },
  sensorMa: { name: 'Sensor current', unit: 'mA' },
  sensorUs: { name: 'Time of a measurement', unit: 'µs' },
  sensorHz: { name: 'Measurements', unit: 'Hz' },
  otherUa: { name: 'All else, always on', unit: 'µA' },
  clockPpm: { name: 'Sleep clock error', unit: 'ppm' },
  capacityMah: { name: 'Capacity of the cell', unit: 'mAh' },
  usable: { name: 'Usable share', unit: '%' },
  selfDischargePerYear: { name: 'Self-discharge a year', unit: '%' },
  ratedUa: { name: 'Load the capacity is rated at', unit: 'µA' },
  peukert: { name: 'Peukert’s exponent', unit: '' },
  resistanceOhm: { name: 'Inner resistance', unit: 'Ω' },
};
