import type { JSX } from 'preact';
import type { BudgetPart } from '../../budget/budget.ts';
import { needsEncryption } from '../../budget/budget.ts';
import { radioLimits } from '../../budget/limits/connection-limits.ts';
import type { WhatIf } from '../../budget/what-if.ts';
import type { Phy, Radio } from '../../contract/model.ts';
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

/** A number of the contract’s radio side: how it is shown, read and tried. */
type RadioNumber = {
  readonly label: string;
  readonly unit: string;
  readonly per?: number;
  readonly course: Course;
  /** Its key among what is tried. */
  readonly key: Exclude<keyof WhatIf, 'phy' | 'spacings'>;
  readonly now: (radio: Radio) => number;
};

const numbers = {
  interval: {
    label: 'Connection interval',
    unit: 'ms',
    per: 1000,
    course: over('interval', radioLimits.interval.least, 1_000_000, 'log'),
    key: 'interval',
    now: ({ connection }) => connection.interval.max,
  },
  advertising: {
    label: 'Advertising interval',
    unit: 'ms',
    per: 1000,
    course: over('advertise.interval', radioLimits['advertise.interval'].least, 10_240_000, 'log'),
    key: 'advertisingInterval',
    now: ({ advertise }) => advertise.interval.max,
  },
  latency: {
    label: 'Peripheral latency',
    unit: 'events',
    course: { from: 0, to: 30, kind: 'linear', round: whole },
    key: 'latency',
    now: ({ connection }) => connection.latency,
  },
  timeout: {
    label: 'Supervision timeout',
    unit: 's',
    per: 1_000_000,
    course: over('timeout', radioLimits.timeout.least, radioLimits.timeout.most, 'log'),
    key: 'timeout',
    now: ({ connection }) => connection.timeout,
  },
  mtu: {
    label: 'MTU',
    unit: 'octets',
    course: { from: radioLimits.mtu.least, to: radioLimits.mtu.most, kind: 'linear', round: whole },
    key: 'mtu',
    now: ({ connection }) => connection.mtu,
  },
  dataLength: {
    label: 'Data length',
    unit: 'octets',
    course: {
      from: radioLimits['data-length'].least,
      to: radioLimits['data-length'].most,
      kind: 'linear',
      round: whole,
    },
    key: 'dataLength',
    now: ({ connection }) => connection.dataLength,
  },
} as const satisfies Readonly<Record<string, RadioNumber>>;

const lossCourse: Course = { from: 0, to: 0.5, kind: 'linear', round: (value) => Math.round(value * 200) / 200 };

/** Tries another value of a number that the contract gives. */
export function RadioDial({ of, part }: PartProps & { readonly of: keyof typeof numbers }): JSX.Element | null {
  const table = tableNow.value;
  if (table === undefined) return null;
  const { key, now, ...shown }: RadioNumber = numbers[of];
  return (
    <Dial
      {...shown}
      value={now(table.radio)}
      part={part}
      isTried={tried.value[key] !== undefined}
      onChange={(value) => {
        tryOut({ [key]: value });
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
      course={lossCourse}
      part={part}
      onChange={(packetErrorRate) => {
        surround({ packetErrorRate });
      }}
    />
  );
}
