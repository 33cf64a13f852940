import { equalBytes, toHex, type Bytes } from '../../src/base/bytes.ts';
import { us } from '../../src/base/quantity.ts';
import type { Observation } from '../../src/ledger/observation.ts';

/**
 * Faults planted in a clean history: each takes what was observed and gives what would have been observed had the fault
 * happened, with the marks that the ledger must make of it, and nothing else. `undefined` where it cannot happen at that
 * place so that anybody could tell.
 */
export type PlantedFault = (
  observations: readonly Observation[],
  /** From here on, microseconds. */
  after: number,
  /** 0..1, for what is left to choose. */
  choice: number,
) => Planted | undefined;

export type Planted = { readonly observations: Observation[]; readonly marks: readonly string[] };

type Arrival = Extract<Observation, { kind: 'notified' | 'indicated' }>;

/** Time from sending to arrival in the recorded session, and what is allowed: 2 x 30 ms + 10 ms. */
const way = 15_000;
const allowed = 70_000;

export const arrivalFaults = {
  lost: fault((id) => (observations, arrival) => ({
    observations: observations.filter((other) => other !== arrival),
    marks: [`lost ${id}`],
  })),

  duplicated: fault((id) => (observations, arrival, choice) => {
    const again = { ...arrival, at: us(arrival.at + 200 + Math.floor(choice * 600)) };
    return { observations: inOrder([...observations, again]), marks: [`duplicated ${id}`] };
  }),

  reordered: fault((id) => (observations, arrival) => {
    const next = observations.find((other): other is Arrival => isArrival(other, id) && other.at > arrival.at);
    if (next === undefined || next.at - arrival.at > 800_000 || equalBytes(next.value, arrival.value)) return undefined;
    const rest = observations.filter((other) => other !== arrival);
    return { observations: inOrder([...rest, { ...arrival, at: us(next.at + 100) }]), marks: [`reordered ${id}`] };
  }),

  wrong: fault((id) => (observations, arrival) => {
    const value = arrival.value.map(() => 0xee);
    return { observations: replaced(observations, arrival, { ...arrival, value }), marks: [`wrong ${id}`] };
  }),

  /** Held up with all that came behind it, as a radio holds up what it must send again. */
  late: fault((id) => (observations, arrival, choice) => {
    const until = arrival.at + 150_000 + Math.floor(choice * 600_000);
    const isHeld = (other: Observation): other is Arrival =>
      isArrival(other, id) && other.at >= arrival.at && other.at < until;
    const isEvery = id === 'level';
    const marks: string[] = [];
    for (const held of observations.filter(isHeld)) {
      const beyond = until - held.at + (isEvery ? 0 : way) - allowed;
      // Nobody can tell within the uncertainty of the clocks, or within the 20 ms in which a value of `fast` may be sent.
      if (Math.abs(beyond) < (id === 'fast' ? 25_000 : 4000)) return undefined;
      if (beyond > 0) marks.push(`late ${id}`);
    }
    const moved = observations.map((other) => (isHeld(other) ? { ...other, at: us(until) } : other));
    return { observations: inOrder(moved), marks };
  }),
} as const;

/** A read or a periodic value that is answered from an old copy. */
export function staleFault(id: string, kind: 'read' | 'notified'): PlantedFault {
  return (observations, after, choice) => {
    const crossing = observations.find(
      (one): one is Extract<Observation, { kind: 'read' | 'notified' }> =>
        one.kind === kind && one.id === id && one.at > after,
    );
    if (crossing === undefined) return undefined;
    const truth = toldOf(observations, id).filter(({ at }) => at < crossing.at);
    const asked = crossing.kind === 'read' ? crossing.asked : crossing.at - allowed;
    const then = asked - 300_000 - Math.floor(choice * 3_000_000);
    const old = truth.filter(({ at }) => at <= then).at(-1);
    if (old === undefined || then < 1_000_000) return undefined;
    const isHeldNow = truth.some(
      ({ at, value }, i) =>
        equalBytes(value, old.value) && at <= crossing.at && (truth[i + 1]?.at ?? Infinity) > asked - 50_000,
    );
    if (isHeldNow) return undefined;
    return {
      observations: replaced(observations, crossing, { ...crossing, value: old.value }),
      marks: [`stale ${id}`],
    };
  };
}

export const writeFaults: Readonly<Record<string, PlantedFault>> = {
  /** Accepted, and never held. */
  lost: (observations, after) =>
    atWrite(observations, after, 'speed', ({ told, write, before, next }) => ({
      observations: reading(without(observations, told), 'speed', write.asked, next, before),
      marks: ['lost speed'],
    })),

  /** Accepted, and something else held. */
  wrong: (observations, after) =>
    atWrite(observations, after, 'speed', ({ told, write, next }) => {
      const value = Uint8Array.of(0xee, 0xee);
      const line = told.line.replace(/ [0-9a-f]+ air$/, ` ${toHex(value)} air`);
      return {
        observations: reading(replaced(observations, told, { ...told, line }), 'speed', write.asked, next, value),
        marks: ['wrong speed'],
      };
    }),

  /** Held half a second after it was accepted. */
  late: (observations, after) =>
    atWrite(observations, after, 'speed', ({ told, write, before, next }) => {
      const at = told.at + 300_000;
      if (next < at + 50_000) return undefined;
      const line = told.line.replace(/^tell \d+/, `tell ${Math.floor(at / 1000)}`);
      const rest = without(observations, told);
      const readEarly = rest.some(
        (one) => one.kind === 'read' && one.id === 'speed' && one.at > write.asked && one.at < at + 40_000,
      );
      if (readEarly) return undefined;
      return {
        observations: inOrder([...reading(rest, 'speed', write.asked, at, before), { ...told, at: us(at), line }]),
        marks: ['late speed'],
      };
    }),

  /** Carried out again after the board's own program had set something else. */
  duplicated: (observations, after) =>
    atWrite(observations, after, 'speed', ({ told, next }) => {
      const [own, again] = [told.at + 100_000, told.at + 200_000];
      const isRead = observations.some(
        (one) => one.kind === 'read' && one.id === 'speed' && one.at > told.at && one.asked < again,
      );
      if (next < again || isRead) return undefined;
      const extra: Observation[] = [
        { ...told, at: us(own), line: `tell ${Math.floor(own / 1000)} speed dddd console` },
        { ...told, at: us(again), line: told.line.replace(/^tell \d+/, `tell ${Math.floor(again / 1000)}`) },
      ];
      return { observations: inOrder([...observations, ...extra]), marks: ['duplicated speed'] };
    }),

  /** Refused, and held all the same; then the board's program puts it right. */
  refused: (observations, after) => {
    const refusal = observations.find((one) => one.kind === 'refused' && one.at > after);
    if (refusal?.kind !== 'refused' || refusal.value === undefined) return undefined;
    const at = Math.round((refusal.asked + 16_000) / 1000);
    const extra: Observation[] = [
      { kind: 'printed', at: us(at * 1000), line: `tell ${at} limit ${toHex(refusal.value)} air` },
      { kind: 'printed', at: us(at * 1000 + 1000), line: `tell ${at + 1} limit 00 console` },
    ];
    return { observations: inOrder([...observations, ...extra]), marks: ['wrong limit'] };
  },
};

function fault(
  plant: (
    id: string,
  ) => (observations: readonly Observation[], arrival: Arrival, choice: number) => Planted | undefined,
): (id: string) => PlantedFault {
  return (id) => (observations, after, choice) => {
    const arrival = observations.find((one): one is Arrival => isArrival(one, id) && one.at > after);
    return arrival === undefined ? undefined : plant(id)(observations, arrival, choice);
  };
}

type Printed = Extract<Observation, { kind: 'printed' }>;

function atWrite(
  observations: readonly Observation[],
  after: number,
  id: string,
  plant: (at: {
    readonly write: Extract<Observation, { kind: 'written' }>;
    readonly told: Printed;
    /** What was held before. */
    readonly before: Bytes;
    /** When the truth changes next. */
    readonly next: number;
  }) => Planted | undefined,
): Planted | undefined {
  const write = observations.find((one) => one.kind === 'written' && one.id === id && one.at > after);
  if (write?.kind !== 'written') return undefined;
  const truth = toldOf(observations, id);
  const index = truth.findIndex(
    ({ at, value }) => at >= write.asked && at <= write.at && equalBytes(value, write.value),
  );
  const [before, made, next] = [truth[index - 1], truth[index], truth[index + 1]];
  if (index < 1 || before === undefined || made === undefined) return undefined;
  return plant({ write, told: made.printed, before: before.value, next: next?.at ?? Infinity });
}

/** What the console told of a value, taken apart without the code under test. */
function toldOf(
  observations: readonly Observation[],
  id: string,
): readonly { at: number; value: Bytes; printed: Printed }[] {
  return observations.flatMap((one) => {
    if (one.kind !== 'printed') return [];
    const [word, ms, name, hex] = one.line.split(' ');
    if (word !== 'tell' || name !== id) return [];
    return [{ at: Number(ms) * 1000, value: Uint8Array.from(Buffer.from(hex!, 'hex')), printed: one }];
  });
}

function isArrival(one: Observation, id: string): one is Arrival {
  return (one.kind === 'notified' || one.kind === 'indicated') && one.id === id;
}

/** Reads between two times answer `value`. */
function reading(
  observations: readonly Observation[],
  id: string,
  from: number,
  to: number,
  value: Bytes,
): Observation[] {
  return observations.map((one) =>
    one.kind === 'read' && one.id === id && one.at >= from && one.asked + way < to ? { ...one, value } : one,
  );
}

function without(observations: readonly Observation[], one: Observation): Observation[] {
  return observations.filter((other) => other !== one);
}

function replaced(observations: readonly Observation[], one: Observation, by: Observation): Observation[] {
  return observations.map((other) => (other === one ? by : other));
}

function inOrder(observations: readonly Observation[]): Observation[] {
  return [...observations].sort((a, b) => a.at - b.at);
}
