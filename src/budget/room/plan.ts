import { us, type Microseconds } from '../../base/quantity.ts';
import type { Advertiser } from '../found/scan.ts';
import { meanEventTime } from './advertising-run.ts';
import { meanForSurvival, mostAdvertisers } from './collision.ts';

export type RoomPlan = {
  /** The shortest advertising interval at which all boards may advertise at once; `undefined`: none up to 10.24 s. */
  readonly advertisingInterval: Microseconds | undefined;
  /** Or: switch on so many at a time at the contract's own interval, and go on when they are connected. */
  readonly groupSize: number;
  readonly groups: number;
  /** Connection intervals to deal out in turn, so that no pair stays in step. */
  readonly connectionIntervals: readonly Microseconds[];
  /** Names in order; empty when the contract's name is the same for all boards. */
  readonly names: readonly string[];
  readonly advice: readonly string[];
};

const advertisingStep = 625;
const shortestAdvertising = 20_000;
const longestAdvertising = 10_240_000;
const connectionStep = 1250;

/** How to run `boards` of one contract in one room. @param survival wished chance that an advertising packet meets no other */
export function planRoom(question: {
  readonly boards: number;
  readonly advertiser: Advertiser;
  readonly connectionInterval: { readonly min: Microseconds; readonly max: Microseconds };
  readonly nameTemplate: string;
  readonly survival: number;
}): RoomPlan {
  const { boards, advertiser, connectionInterval, nameTemplate, survival } = question;
  const least = meanForSurvival(advertiser.packet, boards - 1, survival) - advertiser.delay / 2;
  const interval = us(Math.max(shortestAdvertising, Math.ceil(least / advertisingStep) * advertisingStep));
  const groupSize = Math.min(
    boards,
    Math.max(1, mostAdvertisers(advertiser.packet, meanEventTime(advertiser), survival)),
  );
  const names = namesFor(nameTemplate, boards);
  const fits = interval <= longestAdvertising;
  const advice: string[] = [];
  if (groupSize < boards) {
    advice.push(
      `switch on ${groupSize} boards at a time, the next when they are connected` +
        (fits ? `; or write \`advertise: { interval: ${interval / 1000} ms }\`` : ''),
    );
  }
  if (names.length === 0 && boards > 1) {
    advice.push('all boards have one name: put `{unit}` into it, so that each can be told from its neighbours');
  }
  return {
    advertisingInterval: fits ? interval : undefined,
    groupSize,
    groups: Math.ceil(boards / groupSize),
    connectionIntervals: neighbours(connectionInterval),
    names,
    advice,
  };
}

/** Up to five intervals a step apart: within the contract's range, or from its one interval upwards. */
function neighbours({ min, max }: { readonly min: Microseconds; readonly max: Microseconds }): readonly Microseconds[] {
  const first = Math.ceil(min / connectionStep) * connectionStep;
  const last = max > min ? max : first + 4 * connectionStep;
  const all: Microseconds[] = [];
  for (let interval = first; interval <= last && all.length < 5; interval += connectionStep) all.push(us(interval));
  return all;
}

function namesFor(template: string, boards: number): readonly string[] {
  if (!template.includes('{unit}')) return [];
  const digits = Math.max(2, String(boards).length);
  return Array.from({ length: boards }, (_, i) => template.replaceAll('{unit}', String(i + 1).padStart(digits, '0')));
}
