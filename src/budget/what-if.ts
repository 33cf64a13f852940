import { us, type Microseconds } from '../base/quantity.ts';
import type { NotifyPolicy, Phy } from '../contract/model.ts';
import type { Table } from '../table/model.ts';

/** What one would change of a contract's radio side to see what becomes of its budget. What is absent stays. */
export type WhatIf = {
  readonly advertisingInterval?: Microseconds;
  readonly interval?: Microseconds;
  readonly latency?: number;
  readonly timeout?: Microseconds;
  readonly mtu?: number;
  readonly dataLength?: number;
  readonly phy?: Phy;
  /** Shortest time between two notifications, by value. */
  readonly spacings?: Readonly<Record<string, Microseconds>>;
};

/** The table of the contract as it would be; the table given stays as it is. */
export function withWhatIf(table: Table, whatIf: WhatIf): Table {
  const { radio } = table;
  const { interval, advertisingInterval, spacings = {} } = whatIf;
  const only = (time: Microseconds) => ({ min: time, max: time });
  return {
    ...table,
    radio: {
      ...radio,
      advertise: {
        ...radio.advertise,
        interval: advertisingInterval === undefined ? radio.advertise.interval : only(advertisingInterval),
      },
      connection: {
        ...radio.connection,
        interval: interval === undefined ? radio.connection.interval : only(interval),
        latency: whatIf.latency ?? radio.connection.latency,
        timeout: whatIf.timeout ?? radio.connection.timeout,
        mtu: whatIf.mtu ?? radio.connection.mtu,
        dataLength: whatIf.dataLength ?? radio.connection.dataLength,
        phy: whatIf.phy ?? radio.connection.phy,
      },
    },
    values: table.values.map((value) => {
      const spacing = spacings[value.id];
      return spacing === undefined || value.notify === undefined
        ? value
        : { ...value, notify: withSpacing(value.notify, spacing) };
    }),
  };
}

/** A value sent by the clock has the spacing as its period; one sent on change is held back for it. */
export function withSpacing(policy: NotifyPolicy, spacing: Microseconds): NotifyPolicy {
  if (policy.on.kind === 'change') return { ...policy, minSpacing: spacing };
  const least = policy.minSpacing ?? us(0);
  return { on: { kind: 'every', period: spacing }, minSpacing: least > spacing ? spacing : policy.minSpacing };
}
