import type { JSX } from 'preact';
import { us } from '../../base/quantity.ts';
import type { BudgetPart } from '../../budget/budget.ts';
import { needsEncryption } from '../../budget/budget.ts';
import { radioLimits } from '../../budget/limits/connection-limits.ts';
import type { Phy } from '../../contract/model.ts';
import { inSteps, whole, type Course } from './course.ts';
import { Choice, Dial } from './dial.tsx';
import { contractNow, tableNow } from './reckoned.ts';
import { surround, surroundings, tried, tryOut } from './tried.ts';

type PartProps = { readonly part: BudgetPart };

const over = (key: keyof typeof radioLimits, from: number, to: number, kind: Course['kind']): Course => ({
  from,
  to,
  kind,
  round: inSteps(radioLimits[key].step),
});

const courses = {
  interval: over('interval', radioLimits.interval.least, 1_000_000, 'log'),
  advertising: over('advertise.interval', radioLimits['advertise.interval'].least, 10_240_000, 'log'),
  timeout: over('timeout', radioLimits.timeout.least, radioLimits.timeout.most, 'log'),
  latency: { from: 0, to: 30, kind: 'linear', round: whole },
  mtu: { from: radioLimits.mtu.least, to: radioLimits.mtu.most, kind: 'linear', round: whole },
  dataLength: { from: 27, to: 251, kind: 'linear', round: whole },
  loss: { from: 0, to: 0.5, kind: 'linear', round: (value) => Math.round(value * 200) / 200 },
} as const satisfies Readonly<Record<string, Course>>;

export function IntervalDial({ part }: PartProps): JSX.Element | null {
  const table = tableNow.value;
  if (table === undefined) return null;
  return (
    <Dial
      label="Connection interval"
      unit="ms"
      per={1000}
      value={table.radio.connection.interval.max}
      course={courses.interval}
      part={part}
      isTried={tried.value.interval !== undefined}
      onChange={(value) => {
        tryOut({ interval: us(value) });
      }}
    />
  );
}

export function AdvertisingDial({ part }: PartProps): JSX.Element | null {
  const table = tableNow.value;
  if (table === undefined) return null;
  return (
    <Dial
      label="Advertising interval"
      unit="ms"
      per={1000}
      value={table.radio.advertise.interval.max}
      course={courses.advertising}
      part={part}
      isTried={tried.value.advertisingInterval !== undefined}
      onChange={(value) => {
        tryOut({ advertisingInterval: us(value) });
      }}
    />
  );
}

export function LatencyDial({ part }: PartProps): JSX.Element | null {
  const table = tableNow.value;
  if (table === undefined) return null;
  return (
    <Dial
      label="Peripheral latency"
      unit="events"
      value={table.radio.connection.latency}
      course={courses.latency}
      part={part}
      isTried={tried.value.latency !== undefined}
      onChange={(value) => {
        tryOut({ latency: value });
      }}
    />
  );
}

export function TimeoutDial({ part }: PartProps): JSX.Element | null {
  const table = tableNow.value;
  if (table === undefined) return null;
  return (
    <Dial
      label="Supervision timeout"
      unit="s"
      per={1_000_000}
      value={table.radio.connection.timeout}
      course={courses.timeout}
      part={part}
      isTried={tried.value.timeout !== undefined}
      onChange={(value) => {
        tryOut({ timeout: us(value) });
      }}
    />
  );
}

export function MtuDial({ part }: PartProps): JSX.Element | null {
  const table = tableNow.value;
  if (table === undefined) return null;
  return (
    <Dial
      label="MTU"
      unit="octets"
      value={table.radio.connection.mtu}
      course={courses.mtu}
      part={part}
      isTried={tried.value.mtu !== undefined}
      onChange={(value) => {
        tryOut({ mtu: value });
      }}
    />
  );
}

export function DataLengthDial({ part }: PartProps): JSX.Element | null {
  const table = tableNow.value;
  if (table === undefined) return null;
  return (
    <Dial
      label="Data length"
      unit="octets"
      value={table.radio.connection.dataLength}
      course={courses.dataLength}
      part={part}
      isTried={tried.value.dataLength !== undefined}
      onChange={(value) => {
        tryOut({ dataLength: value });
      }}
    />
  );
}

const phys: readonly Phy[] = ['1M', '2M', 'coded-s2', 'coded-s8'];

export function PhyChoice({ part }: PartProps): JSX.Element | null {
  const table = tableNow.value;
  if (table === undefined) return null;
  return (
    <Choice
      label="PHY"
      words={phys}
      chosen={table.radio.connection.phy}
      part={part}
      isTried={tried.value.phy !== undefined}
      onChoose={(phy) => {
        tryOut({ phy });
      }}
    />
  );
}

export function EncryptionChoice({ part }: PartProps): JSX.Element | null {
  const compiled = contractNow.value;
  if (compiled === undefined) return null;
  const isOn = surroundings.value.encrypted ?? needsEncryption(compiled.table);
  return (
    <Choice
      label="Encryption"
      words={['on', 'off']}
      chosen={isOn ? 'on' : 'off'}
      part={part}
      onChoose={(word) => {
        surround({ encrypted: word === 'on' });
      }}
    />
  );
}

export function LossDial({ part }: PartProps): JSX.Element {
  return (
    <Dial
      label="Packets lost"
      unit="%"
      per={0.01}
      value={surroundings.value.packetErrorRate}
      course={courses.loss}
      part={part}
      onChange={(packetErrorRate) => {
        surround({ packetErrorRate });
      }}
    />
  );
}
