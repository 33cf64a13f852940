import type { Related } from '../../base/finding.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { Microseconds } from '../../base/quantity.ts';
import { placeOf, type Need } from '../../contract/model.ts';
import { shortestSpacing } from '../../contract/rules/rate.ts';
import { exchangeTime, micOctets, notificationPackets } from './air-time.ts';
import { notificationRoom } from './limits.ts';
import type { Compiled } from '../compiled.ts';
import { valuesInContract, type ValueInContract } from './table-rule.ts';

/** What one published value asks of the link when it is sent as fast as its policy allows. */
export type Load = {
  readonly entry: ValueInContract;
  readonly spacing: Microseconds;
  /** Link-layer packets of one notification. */
  readonly packets: number;
  /** Packets a second. */
  readonly rate: number;
  /** Share of the time that the exchanges take, 1 being all of it. */
  readonly share: number;
};

/**
 * The values with a bounded rate, heaviest first. Values without a bound are left out: nothing is known of them, and
 * `notify-without-rate` says so. Lower bound: no retransmissions, no other traffic, the largest value each time.
 */
export function loads(compiled: Compiled): readonly Load[] {
  const { mtu, dataLength, phy } = compiled.contract.radio.connection;
  return valuesInContract(compiled)
    .flatMap((entry) => {
      const { value } = entry;
      const spacing = value.notify === undefined ? undefined : shortestSpacing(value.notify);
      if (spacing === undefined || spacing <= 0) return [];
      const packets = notificationPackets(Math.min(value.maxLength, notificationRoom(mtu)), dataLength);
      const time = packets.reduce((sum, payload) => sum + exchangeTime(phy, payload + mic(value.needs.subscribe)), 0);
      return [
        { entry, spacing, packets: packets.length, rate: (packets.length * 1e6) / spacing, share: time / spacing },
      ];
    })
    .sort((a, b) => b.share - a.share || a.entry.value.index - b.entry.value.index);
}

function mic(need: Need): number {
  return need === 'open' ? 0 : micOctets;
}

/** Where the rate is said, or what stands for it. */
export function notifyPlace({ entry: { characteristic } }: Load): SourceRange {
  const { where } = characteristic;
  return placeOf(where, ['notify', 'access', 'adopted'].find((key) => where.keys.has(key)) ?? 'notify');
}

/** The next heaviest, for the related places; three tell enough. */
export function others(all: readonly Load[], show: (load: Load) => string): readonly Related[] {
  return all.slice(1, 4).map((load) => ({
    message: `\`${load.entry.value.id}\` adds ${show(load)}`,
    at: notifyPlace(load),
  }));
}
