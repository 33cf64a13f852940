import { toDouble } from '../base/rational.ts';
import { withUnit, showQuantity } from '../values/show-number.ts';
import type { Basis, Compared } from './basis.ts';
import type { Budget, BudgetPart } from './budget.ts';
import type { Delay, Marks } from './delay/delays.ts';
import type { Energy } from './energy/energy.ts';
import type { Span } from './energy/span.ts';
import type { NumberReport } from './numbers/numbers.ts';
import type { Room } from './room/room.ts';

/** The parts in the order they are told, with their headings. */
export const budgetHeadings: Readonly<Record<Exclude<BudgetPart, 'problems'>, string>> = {
  air: 'Air time: what one read, write or notification costs',
  throughput: 'Throughput: the most that the link carries',
  link: 'Use of the link by the declared rates',
  delay: 'Delay: from one side to the other',
  found: 'Being found: from power-on to the first packet heard',
  room: 'Room: many boards at once',
  energy: 'Charge: current and life',
  memory: 'Memory: flash and RAM',
  numbers: 'Numbers: what coding does to values',
};

export type TextPart = keyof typeof budgetHeadings;

export const textParts = Object.keys(budgetHeadings) as readonly TextPart[];

/** A budget for a person: each part with its results, where they come from, what they assume, where they end. */
export function budgetText(budget: Budget, parts: readonly TextPart[] = textParts): string {
  const lines: string[] = [connectionLine(budget)];
  for (const { message, hint, source } of budget.problems) lines.push(`▲ ${message} (${source}); ${hint}`);
  for (const part of parts) {
    const { lines: told, basis } = tellers[part](budget);
    lines.push(
      '',
      budgetHeadings[part],
      ...told.map((line) => `  ${line}`),
      ...basisLines(basis).map((l) => `    ${l}`),
    );
  }
  return `${lines.join('\n')}\n`;
}

/** Formula, source, assumptions and end of a result, a line each. */
export function basisLines({ formula, source, assumes, validity }: Basis): readonly string[] {
  return [
    `formula: ${formula}`,
    `source: ${source}`,
    `assumes: ${assumes.join('; ')}`,
    `ends where: ${validity.join('; ')}`,
  ];
}

/** `closed 1.23 ms, run 1.25 ms ± 0.03 ms, difference +0.02 ms` */
export function comparedText({ closed, run, difference, halfWidth }: Compared, show: (x: number) => string): string {
  const within = halfWidth === undefined || !Number.isFinite(halfWidth) ? '' : ` ± ${show(halfWidth)}`;
  return `formula ${show(closed)}, run ${show(run)}${within}, difference ${difference > 0 ? '+' : ''}${show(difference)}`;
}

/** A time for a person, in three digits: `312 µs`, `15.3 ms`, `2.4 s`, `12 min`; `not known` for no number. */
export function timeText(timeUs: number): string {
  if (!Number.isFinite(timeUs)) return 'not known';
  const size = Math.abs(timeUs);
  if (size === 0) return '0 ms';
  if (size < 1000) return `${three(timeUs)} µs`;
  if (size < 1e6) return `${three(timeUs / 1e3)} ms`;
  if (size < 120e6) return `${three(timeUs / 1e6)} s`;
  if (size < 7200e6) return `${three(timeUs / 60e6)} min`;
  return `${three(timeUs / 3600e6)} h`;
}

/** `12.3 %` */
export function percentText(share: number): string {
  return Number.isFinite(share) ? `${three(100 * share)} %` : 'not known';
}

/** `1 octet`, `2 octets` */
export function countText(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}

/** Hours as a person counts them. */
export function lifeText(hours: number): string {
  if (!Number.isFinite(hours)) return 'without end';
  if (hours < 48) return `${three(hours)} h`;
  if (hours < 24 * 730) return `${three(hours / 24)} days`;
  return `${three(hours / 8766)} years`;
}

/** Three digits, never an exponent. */
export function three(value: number): string {
  if (value === 0) return '0';
  const rounded = Number(value.toPrecision(3));
  return Math.abs(rounded) >= 1e-6 ? String(rounded) : value.toFixed(9);
}

type Told = { readonly lines: readonly string[]; readonly basis: Basis };

const tellers: Readonly<Record<TextPart, (budget: Budget) => Told>> = {
  air: ({ air }) => ({
    lines: air.procedures.map(
      ({ id, procedure, octets, packets, airTime, efficiency, events }) =>
        `${id}, ${procedure}: ${countText(octets, 'octet')} in ${packets} packets, ${timeText(airTime)} on the air, ${countText(events, 'event')} at least, ${percentText(efficiency)} of the octets are value`,
    ),
    basis: air.basis,
  }),
  throughput: ({ throughput }) => {
    const kbit = (x: number): string => `${three(x)} kbit/s`;
    const best = throughput.other.reduce((a, b) => (b.kbitPerSecond > a.kbitPerSecond ? b : a));
    return {
      lines: [
        `${three(throughput.messagesPerEvent)} full messages in a connection event, ${throughput.octets} octets of value each`,
        `notifications up: ${comparedText(throughput.up, kbit)}`,
        `write commands down: ${comparedText(throughput.down, kbit)}`,
        `no interval goes beyond ${kbit(throughput.boundKbitPerSecond)}`,
        `with other parameters up to ${kbit(best.kbitPerSecond)}: PHY ${best.phy}, MTU ${best.mtu}, data length ${best.dataLength}`,
      ],
      basis: throughput.basis,
    };
  },
  link: ({ link }) => ({
    lines: [
      `declared rates take ${percentText(link.demand)} of the time${link.carries ? ', which fits' : ': more than is sure to fit'}`,
      `the link is busy, polls included: ${comparedText(link.busyCompared, percentText)}`,
      ...link.streams.map(
        ({ id, kind, share, octets, sent, spacingUs, packets, bounded }) =>
          `${id}: ${kind} of ${sent === octets ? countText(octets, 'octet') : `${sent} of ${octets} octets`} every ${timeText(spacingUs)}${bounded ? '' : ' (no bound given)'}, ${countText(packets, 'pair')} of packets, ${percentText(share)}`,
      ),
      `most by ${link.blame ?? 'none'}; smallest MTU ${link.smallestMtu}; ${link.intervals === undefined ? 'no connection interval carries it' : `connection intervals of ${timeText(link.intervals.shortest)} to ${timeText(link.intervals.longest)} carry it`}`,
      `the board’s queue must hold ${link.queuePackets} packets; the run saw ${link.longestQueue} messages wait at once`,
      ...link.advice.map((advice) => `▲ ${advice}`),
    ],
    basis: link.basis,
  }),
  delay: ({ delay, connection }) => ({
    lines: delay.values.flatMap((value) => delayLines(value, connection.packetErrorRate > 0)),
    basis: delay.basis,
  }),
  found: ({ found }) => ({
    lines: found.patterns.flatMap(({ pattern, mean, median, p95, bound, resonance, gaveUp }) => [
      `${pattern.name}, window ${timeText(pattern.window)} of ${timeText(pattern.interval)} (${pattern.source})`,
      `  mean: ${comparedText(mean, timeText)}; median ${timeText(median)}, 95 % within ${timeText(p95)}${bound === undefined ? '' : `, all within ${timeText(bound)}`}`,
      ...(gaveUp > 0 ? [`  ▲ ${gaveUp} of the run’s boards were not found at all within its limit`] : []),
      ...(resonance === undefined
        ? []
        : [
            `  ▲ the interval keeps step with the windows: ${three(resonance.factor)} times as many events missed as by chance${resonance.better === undefined ? '' : `; ${timeText(resonance.better)} is found sooner`}`,
          ]),
    ]),
    basis: found.basis,
  }),
  room: ({ room }) => ({ lines: roomLines(room, room.plan), basis: room.basis }),
  energy: ({ energy }) => ({
    lines: [...energyLines(energy.advertising), ...energyLines(energy.connected)],
    basis: energy.basis,
  }),
  memory: ({ memory }) => ({
    lines: [
      `the table has ${memory.content.rows} rows, ${memory.content.values} values of ${memory.content.valueOctets} octets at their longest, ${memory.content.constantOctets} octets that never change`,
      ...(memory.unknown === undefined ? [] : [`flash and RAM are not known: ${memory.unknown}`]),
      ...memory.targets.map(
        ({ name, toolchain, date, images, error, flash, ram }) =>
          `${name}: flash ${flash.likely} octets (${flash.low} to ${flash.high}), RAM ${ram.likely} octets (${ram.low} to ${ram.high}); model of ${date}, ${toolchain}, ${images} images, missed by at most ${percentText(error.flash)} and ${percentText(error.ram)}`,
      ),
    ],
    basis: memory.basis,
  }),
  numbers: ({ numbers }) => ({
    lines: [
      ...numbers.numbers.flatMap(numberLines),
      ...numbers.cuts.map(
        ({ id, octets, by, keptAtDefault, neededMtu, characters, told }) =>
          `${id}: ${by} of up to ${octets} octets, ${keptAtDefault} at MTU 23${characters === undefined ? '' : ` (${characters.least} to ${characters.most} characters)`}: ${told}; MTU ${neededMtu} takes it whole`,
      ),
    ],
    basis: numbers.basis,
  }),
};

function connectionLine({ connection }: Budget): string {
  const { phy, interval, latency, timeout, mtu, dataLength, encrypted, packetErrorRate, mostPairs } = connection;
  const parts = [
    `PHY ${phy}`,
    `interval ${timeText(interval)}`,
    `latency ${latency}`,
    `timeout ${timeText(timeout)}`,
    `MTU ${mtu}`,
    `data length ${dataLength}`,
    encrypted ? 'encrypted' : 'not encrypted',
    `packet error rate ${percentText(packetErrorRate)}`,
    ...(mostPairs === undefined ? [] : [`at most ${mostPairs} pairs an event`]),
  ];
  return `Reckoned for a connection with ${parts.join(', ')}`;
}

function marksText({ best, median, p95, worst }: Marks): string {
  return `best ${timeText(best)}, median ${timeText(median)}, 95 % ${timeText(p95)}, worst ${timeText(worst)}`;
}

function delayLines(delay: Delay, isLossy: boolean): readonly string[] {
  const { id, from, fits, hold, link, whole, mean, loaded, lost, endsInTimeout } = delay;
  const what = from === 'change' ? `${id}, change to notification` : `${id}, write to board`;
  if (!fits) return [`${what}: a packet does not fit the connection interval`];
  return [
    `${what}: ${marksText(link)}${isLossy ? ' (one in a million)' : ''}`,
    ...(hold.most > 0 ? [`  held by its policy for up to ${timeText(hold.most)}; with it: ${marksText(whole)}`] : []),
    `  mean alone: ${comparedText(mean, timeText)}`,
    `  with all else on the link: ${marksText(loaded)}; ${comparedText(loaded.mean, timeText)}`,
    ...(lost > 0 ? [`  ▲ ${lost} messages came and never left: more than the link carries`] : []),
    ...(endsInTimeout ? ['  ▲ the worst is beyond the supervision timeout: the link is lost before'] : []),
  ];
}

function roomLines(room: Room, plan: Budget['room']['plan']): readonly string[] {
  const { question, survival, collision, joined, most, long } = room;
  return [
    `${question.advertising} boards advertise: a packet meets no other with ${comparedText(survival, percentText)}; an advertising channel is filled to ${percentText(room.advertisingLoad)}`,
    `${question.connected} boards are connected: an event meets another with ${comparedText(collision, percentText)}; ${three(room.retransmissions)} retransmissions an event; a data channel is filled to ${percentText(room.dataLoad)}`,
    `all switched on at once, each with a client of its own (${question.scan.name}: ${timeText(question.scan.window)} of ${timeText(question.scan.interval)}): half are connected after ${timeText(joined.half)}, 95 % after ${timeText(joined.p95)}, all after ${timeText(joined.all)}${joined.missing === 0 ? '' : `; ${joined.missing} never within ten minutes`}`,
    `the most that work: ${most.advertising} advertising (a packet gets through in ${percentText(question.survival)}), ${most.connected} connected (at most ${percentText(question.collision)} of events meet another); one central serves ${room.mostOfOneCentral}`,
    ...(long === undefined
      ? []
      : [
          `${timeText(long.time)} of room time: ${long.packets} advertising packets, ${comparedText(long.survival, percentText)}; ${long.events} connection events, ${comparedText(long.collision, percentText)}`,
        ]),
    `plan: ${plan.groups === 1 ? 'all boards at once' : `${plan.groups} groups of ${plan.groupSize}`}; connection intervals dealt out in turn: ${plan.connectionIntervals.map((interval) => timeText(interval)).join(', ')}`,
    ...(plan.names.length === 0
      ? []
      : [
          `names: ${plan.names.length <= 3 ? plan.names.join(', ') : `${plan.names[0] ?? ''} to ${plan.names.at(-1) ?? ''}`}`,
        ]),
    ...plan.advice.map((advice) => `▲ ${advice}`),
  ];
}

function spanText({ low, likely, high }: Span, show: (x: number) => string): string {
  return `${show(likely)} (${show(low)} to ${show(high)})`;
}

function energyLines({ activity, meanUa, lifeHours, peakMa, sensitivity, caveats }: Energy): readonly string[] {
  const current = (x: number): string => `${three(x)} µA`;
  return [
    `${activity} all the time: ${spanText(meanUa, current)}, peak ${three(peakMa.high)} mA; life ${spanText(lifeHours, lifeText)}`,
    ...sensitivity
      .slice(0, 3)
      .map(({ key, atLow, atHigh }) => `  change \`${key}\` first: ${lifeText(atLow)} to ${lifeText(atHigh)}`),
    ...caveats.map((caveat) => `  ▲ ${caveat}`),
  ];
}

function numberLines({ id, type, coding, drive, misreading }: NumberReport): readonly string[] {
  const { resolution, worst, relative, codes, wished, unit } = coding;
  const parts = [
    resolution === undefined ? 'step grows with the number' : `step ${showQuantity(resolution, unit)}`,
    ...(worst === undefined ? [] : [`coded at most ${showQuantity(worst, unit)} away`]),
    ...(relative === undefined ? [] : [`at most ${three(toDouble(relative) * 1e6)} millionths of the number`]),
    ...(codes === undefined ? [] : [`${codes.used} of ${codes.all} codes`]),
    ...(wished === undefined || wished.reached ? [] : [`▲ coarser than the wished ${showQuantity(wished.step, unit)}`]),
  ];
  const lines = [`${id}, ${type}: ${parts.join(', ')}`];
  if (drive !== undefined) {
    const snr = drive.idealSnrDb === undefined ? '' : `, ideal signal to noise ${drive.idealSnrDb.toFixed(1)} dB`;
    const driven = withUnit(three(toDouble(drive.worst)), unit);
    lines.push(
      `  ${drive.kind}: step ${withUnit(three(toDouble(drive.resolution)), unit)}, really at most ${driven} beside the coded value (${drive.proof === 'exhaustive' ? 'every code tried' : 'bound'})${snr}`,
    );
  }
  if (misreading !== undefined) {
    const { unnoticed, telling } = misreading;
    if (unnoticed.length > 0) lines.push(`  ▲ read wrongly nobody would notice: ${unnoticed.join(', ')}`);
    if (telling !== undefined)
      lines.push(`  a first test with ${showQuantity(telling.value, unit)} shows: ${telling.shows.join(', ')}`);
  }
  return lines;
}
