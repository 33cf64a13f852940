import { showTime, us, type Microseconds } from '../../base/quantity.ts';
import type { Radio } from '../../contract/model.ts';

/** A radio parameter, as the contract's `radio:` names it. */
export type RadioKey =
  'advertise.interval' | 'interval' | 'latency' | 'timeout' | 'mtu' | 'data-length' | 'packet-error-rate';

/** Why parameters cannot be, in the words of findings: names and values with units, no full stop. */
export type RadioProblem = {
  readonly key: RadioKey;
  readonly message: string;
  readonly hint: string;
  /** Standard and section. */
  readonly source: string;
};

/** The parameters that a budget may be asked about; the contract's own have passed its rules already. */
export type RadioParameters = {
  readonly advertisingInterval: Microseconds;
  readonly interval: Microseconds;
  readonly latency: number;
  readonly timeout: Microseconds;
  readonly mtu: number;
  readonly dataLength: number;
  readonly packetErrorRate: number;
};

type Limits = { readonly least: number; readonly most: number; readonly step: number; readonly source: string };

/** Inclusive, in µs, events, octets; the finest step that a controller can be told. */
export const radioLimits = {
  'advertise.interval': {
    least: 20_000,
    most: 10_485_759_375,
    step: 625,
    source: 'Core Vol 4 Part E 7.8.5 and 7.8.53',
  },
  interval: { least: 7_500, most: 4_000_000, step: 1_250, source: 'Core Vol 6 Part B 4.5.1' },
  latency: { least: 0, most: 499, step: 1, source: 'Core Vol 6 Part B 4.5.1' },
  timeout: { least: 100_000, most: 32_000_000, step: 10_000, source: 'Core Vol 6 Part B 4.5.2' },
  mtu: { least: 23, most: 517, step: 1, source: 'Core Vol 3 Part F 3.2.8 and 3.2.9: value of at most 512 octets' },
  'data-length': { least: 27, most: 251, step: 1, source: 'Core Vol 6 Part B 2.4 and 4.5.10' },
} as const satisfies Readonly<Record<string, Limits>>;

/** What the budget follows of losses: beyond it nothing gets through that is worth reckoning. */
export const mostLoss = 0.9;

/**
 * Parameters that no controller takes: outside their range, between its steps, or against the rule of the supervision
 * timeout. Empty when all can be.
 */
export function radioProblems(parameters: RadioParameters): readonly RadioProblem[] {
  const { interval, latency, timeout, packetErrorRate } = parameters;
  const times = (value: number): string => showTime(us(value));
  const octets = (value: number): string => `${value} octets`;
  const ranges: readonly (RadioProblem | undefined)[] = [
    outside('advertise.interval', 'advertising interval', parameters.advertisingInterval, times),
    outside('interval', 'connection interval', interval, times),
    outside('latency', 'peripheral latency', latency, (value) => `${value} events`),
    outside('timeout', 'supervision timeout', timeout, times),
    outside('mtu', 'MTU', parameters.mtu, octets),
    outside('data-length', 'data length', parameters.dataLength, octets),
  ];
  const found = ranges.filter((problem) => problem !== undefined);
  const least = leastTimeout(interval, latency);
  if (!(timeout > least)) {
    found.push({
      key: 'timeout',
      message: `the supervision timeout is ${times(timeout)}, but must be longer than ${times(least)}: twice the interval, times one more than the latency`,
      hint: 'raise the timeout, or lower the latency or the interval',
      source: 'Core Vol 6 Part B 4.5.2: timeout > (1 + latency) × interval × 2',
    });
  }
  if (!(packetErrorRate >= 0 && packetErrorRate <= mostLoss)) {
    found.push({
      key: 'packet-error-rate',
      message: `the packet error rate is ${packetErrorRate}, but only 0 to ${mostLoss} is reckoned with`,
      hint: 'give the share of packets that are lost: 0.1 for one in ten',
      source: 'a share; the bound is this program’s own',
    });
  }
  return found;
}

/** What the supervision timeout must exceed: 2 (1 + latency) interval. Core Vol 6 Part B 4.5.2. */
export function leastTimeout(interval: Microseconds, latency: number): Microseconds {
  return us(2 * (1 + latency) * interval);
}

/** The parameters of a contract at the longest interval it allows, at which the timeout is shortest for them. */
export function parametersOf({ advertise, connection }: Radio, packetErrorRate: number): RadioParameters {
  return {
    advertisingInterval: advertise.interval.max,
    interval: connection.interval.max,
    latency: connection.latency,
    timeout: connection.timeout,
    mtu: connection.mtu,
    dataLength: connection.dataLength,
    packetErrorRate,
  };
}

function outside(
  key: keyof typeof radioLimits,
  name: string,
  value: number,
  show: (value: number) => string,
): RadioProblem | undefined {
  const { least, most, step, source } = radioLimits[key];
  if (value >= least && value <= most && value % step === 0) return undefined;
  const isBetween = value >= least && value <= most;
  return {
    key,
    source,
    message: isBetween
      ? `the ${name} is ${show(value)}, but goes in steps of ${show(step)}`
      : `the ${name} is ${show(value)}, but may be ${show(least)} to ${show(most)}`,
    hint: `use ${show(nearestAllowed(key, value))}`,
  };
}

/** The nearest value that a controller takes. */
export function nearestAllowed(key: keyof typeof radioLimits, value: number): number {
  const { least, most, step } = radioLimits[key];
  const held = Math.min(most, Math.max(least, Number.isFinite(value) ? value : least));
  return Math.min(most, Math.max(least, Math.round(held / step) * step));
}
