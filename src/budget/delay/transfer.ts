import type { Connection } from '../air/connection.ts';
import { dataPacketTime, pairTime } from '../../radio/air-time.ts';
import type { Basis } from '../basis.ts';
import { mixture, type Mixture } from './mixture.ts';

/** Delays that come less often than this are left out of a distribution. */
const negligible = 1e-12;

/**
 * How long a message takes that meets an idle connection at a random moment, in µs: from when it is there to the end of
 * its last packet at the other side.
 *
 * `up` waits for the peripheral's next turn, evenly between 0 and an interval: the peripheral wakes for it. `down` waits
 * for the next event in which the peripheral hears the central. Those are X = (L + 1) I + G I apart, G geometric with the
 * packet error rate, since the peripheral listens to every event after a miss; the wait is the residual of that renewal
 * process, whose density over the b-th interval is P(X > b I) / E[X].
 *
 * From there the packets go one after another; one that is lost ends the event, and the next event goes on where the
 * acknowledgements stand. That is a chain over events, followed until less than 10^-12 is left.
 *
 * Exact for this model; `pieces` is empty when a packet does not fit the interval at all.
 */
export function transferDelay(connection: Connection, direction: 'up' | 'down', payloads: readonly number[]): Mixture {
  const { interval, phy, encrypted, mostPairs = Infinity } = connection;
  const pairs = payloads.map((payload) => pairTime(phy, 0, payload, encrypted));
  if (mostPairs < 1 || pairs.some((pair) => pair > interval)) return mixture(interval, []);
  const times = payloads.map((payload) => dataPacketTime(phy, payload, encrypted));
  const ends = direction === 'up' ? upChain(connection, pairs, times) : downChain(connection, pairs, times);
  const waits = direction === 'up' ? [1] : waitBlocks(connection);
  return mixture(
    interval,
    waits.flatMap((wait, block) =>
      ends.map(({ events, offset, chance }) => ({
        start: (block + events) * interval + offset,
        weight: wait * chance,
      })),
    ),
  );
}

/** Where the last packet ends: so many events later, so far into the event (`up`: behind the first turn's start). */
type End = { readonly events: number; readonly offset: number; readonly chance: number };

/** Chance that a message of the central waits between b and b + 1 intervals until it is heard. */
function waitBlocks({ latency, packetErrorRate: p }: Connection): readonly number[] {
  const meanGap = latency + 1 + p / (1 - p);
  const blocks: number[] = [];
  for (let b = 0; b <= latency || (p > 0 && p ** (b - latency) / meanGap > negligible); b++) {
    blocks.push((b <= latency ? 1 : p ** (b - latency)) / meanGap);
  }
  return blocks;
}

/** From the peripheral's first turn on. A packet succeeds when poll and packet are heard; the next poll acknowledges it. */
function upChain(connection: Connection, pairs: readonly number[], times: readonly number[]): readonly End[] {
  const q = (1 - connection.packetErrorRate) ** 2;
  const last = pairs.length - 1;
  return followEvents(pairs.length, 0, (state, add) => {
    let chance = 1;
    let offset = 0;
    for (let stage = state, n = 0; ; stage++, n++) {
      if (!hasRoom(connection, offset, pairs[stage] ?? 0, n)) {
        add.stays(stage, chance);
        return;
      }
      add.stays(stage, chance * (1 - q));
      chance *= q;
      if (stage === last) {
        add.ends(offset + (times[stage] ?? 0), chance);
        return;
      }
      offset += pairs[stage] ?? 0;
    }
  });
}

/**
 * From the event on in which the first packet is heard. States: 2 s: packet s is still to be heard; 2 s + 1: it was heard,
 * and the central does not know.
 */
function downChain(connection: Connection, pairs: readonly number[], times: readonly number[]): readonly End[] {
  const p = connection.packetErrorRate;
  const last = pairs.length - 1;
  return followEvents(2 * pairs.length, 0, (state, add, first) => {
    let chance = 1;
    let offset = 0;
    let known = state % 2 === 1;
    for (let stage = Math.floor(state / 2), n = 0; ; stage++, n++) {
      if (!hasRoom(connection, offset, pairs[stage] ?? 0, n)) {
        add.stays(2 * stage, chance);
        return;
      }
      // In the first event of all, the first packet is heard: that is what ended the wait.
      if (!(first && n === 0)) {
        add.stays(2 * stage + (known ? 1 : 0), chance * p);
        chance *= 1 - p;
      }
      if (stage === last && !known) {
        add.ends(offset + (times[stage] ?? 0), chance);
        return;
      }
      add.stays(2 * stage + 1, chance * p);
      chance *= 1 - p;
      known = false;
      offset += pairs[stage] ?? 0;
    }
  });
}

/** Whether one more pair ends before the next anchor. */
function hasRoom({ interval, mostPairs = Infinity }: Connection, offset: number, pair: number, used: number): boolean {
  return used < mostPairs && offset + pair <= interval;
}

type Step = { stays(state: number, chance: number): void; ends(offset: number, chance: number): void };

/** Follows a chain whose steps are connection events, from `start`, until almost all of it has ended. */
function followEvents(
  states: number,
  start: number,
  step: (state: number, add: Step, first: boolean) => void,
): readonly End[] {
  let now = new Float64Array(states);
  now[start] = 1;
  const ends: End[] = [];
  let left = 1;
  for (let events = 0; left > negligible; events++) {
    const next = new Float64Array(states);
    for (let state = 0; state < states; state++) {
      const here = now[state] ?? 0;
      if (here === 0) continue;
      step(
        state,
        {
          stays: (to, chance) => {
            next[to] = (next[to] ?? 0) + here * chance;
          },
          ends: (offset, chance) => {
            ends.push({ events, offset, chance: here * chance });
            left -= here * chance;
          },
        },
        events === 0,
      );
    }
    now = next;
    // Rounding may leave a trace of `left` when nothing is under way any more.
    if (now.every((chance) => chance < negligible)) break;
  }
  return ends;
}

export const delayBasis: Basis = {
  formula:
    'delay = wait + lost events × interval + packets; wait up: U(0, I); wait down: residual of X = (L + 1) I + G I, G geometric(p)',
  source:
    'Core Vol 6 Part B 4.5.1 (events, peripheral latency), 4.5.6, 4.5.9; renewal theory; derived here, not published',
  assumes: [
    'the message comes at a moment that has nothing to do with the connection events',
    'nothing else waits to be sent: queueing behind other values is not in it',
    'a lost packet ends its event; each packet is lost independently with the same chance',
    'the peripheral listens to every event after a miss and while a transfer runs',
  ],
  validity: [
    'radio and controller only: the time in apps, operating systems and main loops comes on top',
    'losses in the field come in bursts; a link without a packet for the supervision timeout is lost, and delays end there',
  ],
};
