import type { Span } from './span.ts';

/** What a budget of charge needs to know of the board's parts and its cell. */
export type Supply = {
  /** Everything asleep, clock running, µA. */
  readonly sleepUa: Span;
  /** Processor at work, mA. */
  readonly cpuMa: Span;
  /** Processor's work for one radio event, µs. */
  readonly cpuPerEventUs: Span;
  readonly transmitMa: Span;
  readonly receiveMa: Span;
  /** Radio and its oscillator starting, before each event: mA and µs. */
  readonly rampMa: Span;
  readonly rampUs: Span;
  /** One measurement: mA and µs. */
  readonly sensorMa: Span;
  readonly sensorUs: Span;
  /** Measurements a second. */
  readonly sensorHz: Span;
  /** What else draws all the time: display, lamps, regulator; µA. */
  readonly otherUa: Span;
  /** Sleep clocks of both sides together, parts in a million. */
  readonly clockPpm: Span;
  /** Of the cell at its rated load, mAh. */
  readonly capacityMah: Span;
  /** Share of the capacity that the board can use down to its lowest voltage, 0..1. */
  readonly usable: Span;
  /** Share of the capacity that the cell loses by itself in a year. */
  readonly selfDischargePerYear: Span;
  /** Load at which the capacity is rated, µA; above it the cell gives less. */
  readonly ratedUa: Span;
  /** Peukert's exponent above the rated load, 1 or more; 1: the capacity is the same at every load. */
  readonly peukert: Span;
  /** The cell's inner resistance as it nears its end, ohm: what pulses drop over. */
  readonly resistanceOhm: Span;
};

export type SupplyKey = keyof Supply;

const span = (low: number, likely: number, high: number): Span => ({ low, likely, high });

/**
 * Invented figures of a likely size, no data sheet's: a small board with a coin cell. They stand in until the user gives
 * the numbers of the real parts.
 */
export const inventedSupply: Supply = {
  sleepUa: span(1, 2, 5),
  cpuMa: span(2, 3, 5),
  cpuPerEventUs: span(200, 400, 1000),
  transmitMa: span(4, 6, 10),
  receiveMa: span(4, 6, 10),
  rampMa: span(1, 2, 4),
  rampUs: span(100, 150, 400),
  sensorMa: span(0.1, 0.5, 1),
  sensorUs: span(100, 500, 2000),
  sensorHz: span(1, 1, 1),
  otherUa: span(0, 0, 0),
  clockPpm: span(20, 70, 500),
  // CR2032: typically 225 mAh at 0.19 to 0.2 mA (public data sheets). Pulses of several mA give less.
  capacityMah: span(200, 225, 240),
  usable: span(0.5, 0.8, 0.95),
  selfDischargePerYear: span(0.005, 0.01, 0.02),
  ratedUa: span(190, 200, 200),
  peukert: span(1, 1.1, 1.3),
  resistanceOhm: span(10, 20, 60),
};

export type SupplyPreset = { readonly name: string; readonly about: string; readonly supply: Supply };

/** To start from. All are invented; only the rating of the coin cell is a published one. */
export const supplyPresets: readonly SupplyPreset[] = [
  {
    name: 'coin cell',
    about: 'invented small board; the cell as public CR2032 data sheets rate it: 225 mAh at 0.2 mA',
    supply: inventedSupply,
  },
  {
    name: 'two AA cells',
    about: 'invented board with a small display; capacity typical of alkaline cells, from memory',
    supply: {
      ...inventedSupply,
      otherUa: span(20, 50, 200),
      capacityMah: span(1800, 2300, 2800),
      usable: span(0.6, 0.8, 0.9),
      selfDischargePerYear: span(0.02, 0.03, 0.05),
      ratedUa: span(20_000, 25_000, 50_000),
      peukert: span(1, 1.1, 1.2),
      resistanceOhm: span(0.3, 0.6, 1.5),
    },
  },
  {
    name: 'lithium pouch, lit display',
    about:
      'invented classroom board with a display; capacity as written on a common pouch, exponent typical of lithium ion',
    supply: {
      ...inventedSupply,
      cpuMa: span(8, 12, 20),
      transmitMa: span(10, 15, 25),
      receiveMa: span(10, 15, 25),
      otherUa: span(8_000, 15_000, 30_000),
      capacityMah: span(450, 500, 500),
      usable: span(0.8, 0.9, 0.95),
      selfDischargePerYear: span(0.1, 0.2, 0.4),
      ratedUa: span(100_000, 100_000, 100_000),
      peukert: span(1, 1.05, 1.1),
      resistanceOhm: span(0.1, 0.2, 0.4),
    },
  },
];

export const supplyKeys = Object.keys(inventedSupply) as readonly SupplyKey[];

export type ReadSupply =
  | { readonly ok: true; readonly supply: Supply }
  | { readonly ok: false; readonly message: string; readonly hint: string };

/**
 * A supply from parsed JSON: an object with some of the keys, each a number, `[low, high]` or `[low, likely, high]`. What is
 * not given keeps the invented figure.
 */
export function readSupply(given: unknown): ReadSupply {
  if (typeof given !== 'object' || given === null || Array.isArray(given)) {
    return { ok: false, message: 'a supply is an object of figures', hint: `give some of: ${supplyKeys.join(', ')}` };
  }
  let supply = inventedSupply;
  for (const [key, value] of Object.entries(given)) {
    const known = supplyKeys.find((each) => each === key);
    if (known === undefined) {
      return { ok: false, message: `a supply has no \`${key}\``, hint: `the keys are ${supplyKeys.join(', ')}` };
    }
    const read = readSpan(value);
    if (read === undefined) {
      return {
        ok: false,
        message: `\`${key}\` is ${JSON.stringify(value)}, which is no figure from 0 upwards`,
        hint: 'write a number, [low, high] or [low, likely, high] in rising order',
      };
    }
    if ((known === 'usable' || known === 'selfDischargePerYear') && read.high > 1) {
      return { ok: false, message: `\`${key}\` is above 1`, hint: 'write a share: 0.8 for 80 %' };
    }
    if ((known === 'usable' || known === 'capacityMah' || known === 'ratedUa') && read.low === 0) {
      return { ok: false, message: `\`${key}\` is 0`, hint: 'write a figure above 0' };
    }
    if (known === 'peukert' && (read.low < 1 || read.high > 2)) {
      return { ok: false, message: `\`${key}\` is outside 1 to 2`, hint: 'write 1 for a capacity that no load lowers' };
    }
    supply = { ...supply, [known]: read };
  }
  return { ok: true, supply };
}

function readSpan(value: unknown): Span | undefined {
  const numbers: readonly unknown[] = Array.isArray(value) ? value : [value, value, value];
  if (!numbers.every((each): each is number => typeof each === 'number' && Number.isFinite(each) && each >= 0)) {
    return undefined;
  }
  const [a, b, c] = numbers;
  if (a === undefined || b === undefined || numbers.length > 3) return undefined;
  const read = c === undefined ? span(a, (a + b) / 2, b) : span(a, b, c);
  return read.low <= read.likely && read.likely <= read.high ? read : undefined;
}
