import { unreachable } from '../../base/bug.ts';
import { compare, multiply, showRational, type Rational } from '../../base/rational.ts';
import { highestOf, nearestWord } from './line.ts';
import type { Drive, PulseWidthDrive, TableDrive, TimerDrive } from './model.ts';

/**
 * Why no words can be worked out with this drive: a sentence part with the field, what was found and what is allowed.
 * `undefined` for a well formed drive, and only such a drive may be given to the other functions of this folder.
 */
export function driveProblem(drive: Drive): string | undefined {
  switch (drive.kind) {
    case 'phase-accumulator':
      return bits('width', drive.width, 8, 64) ?? positive('clock', drive.clock, 'Hz');
    case 'timer':
      return timerProblem(drive);
    case 'pwm-duty':
      return integer('top', drive.top, 1, 2 ** 32 - 1) ?? positive('full', drive.full);
    case 'pulse-width':
      return pulseWidthProblem(drive);
    case 'dac':
    case 'adc':
      return bits('bits', drive.bits, 4, 24) ?? positive('reference', drive.reference) ?? notZero('gain', drive.gain);
    case 'table':
      return tableProblem(drive);
  }
  return unreachable(drive);
}

function timerProblem(drive: TimerDrive): string | undefined {
  const problem = positive('clock', drive.clock, 'Hz') ?? bits('reload', drive.reloadBits, 8, 32);
  if (problem !== undefined) return problem;
  if (drive.prescalers.length === 0) return '`prescalers` is empty but a timer needs at least one factor';
  for (const [i, factor] of drive.prescalers.entries()) {
    const wrong = integer(`prescalers[${i}]`, factor, 1, 2 ** 32);
    if (wrong !== undefined) return wrong;
    const before = drive.prescalers[i - 1];
    if (before !== undefined && factor <= before) {
      return `\`prescalers[${i}]\` is ${factor} but factors ascend and ${before} stands before it`;
    }
  }
  return undefined;
}

function pulseWidthProblem(drive: PulseWidthDrive): string | undefined {
  const problem = positive('clock', drive.clock, 'Hz') ?? bits('bits', drive.bits, 8, 32);
  if (problem !== undefined) return problem;
  for (const name of ['from', 'to'] as const) {
    if (drive[name].width.num < 0n) return `\`${name}.width\` is ${showRational(drive[name].width)} s, less than 0 s`;
  }
  if (compare(drive.from.value, drive.to.value) === 0) return '`from` and `to` have the same value';
  if (compare(drive.from.width, drive.to.width) === 0) return '`from` and `to` have the same pulse width';
  const shortest = compare(drive.from.width, drive.to.width) < 0 ? drive.from.width : drive.to.width;
  const counts = multiply(shortest, drive.clock);
  return nearestWord(counts) > highestOf(drive.bits)
    ? `the shorter pulse is ${showRational(counts)} counts but \`bits\` ${drive.bits} count to ${highestOf(drive.bits)}`
    : undefined;
}

function tableProblem(drive: TableDrive): string | undefined {
  const problem = bits('bits', drive.bits, 8, 32);
  if (problem !== undefined) return problem;
  const count = drive.points.length;
  if (count < 2) return `\`points\` has ${count} but a line needs at least 2`;
  for (const [i, point] of drive.points.entries()) {
    const wrong = integer(`points[${i}]`, point.word, 0, 2 ** drive.bits - 1);
    if (wrong !== undefined) return wrong;
    const before = drive.points[i - 1];
    if (before !== undefined && compare(point.value, before.value) <= 0) {
      return `\`points[${i}]\` has the value ${showRational(point.value)} but values rise and ${showRational(before.value)} stands before it`;
    }
  }
  return undefined;
}

function bits(name: string, found: number, least: number, most: number): string | undefined {
  return inRange(found, least, most) ? undefined : `\`${name}\` is ${found} bits but may be ${least} to ${most} bits`;
}

function integer(name: string, found: number, least: number, most: number): string | undefined {
  return inRange(found, least, most)
    ? undefined
    : `\`${name}\` is ${found} but may be a whole number from ${least} to ${most}`;
}

function inRange(found: number, least: number, most: number): boolean {
  return Number.isInteger(found) && found >= least && found <= most;
}

function positive(name: string, found: Rational, unit = ''): string | undefined {
  const quantity = `${showRational(found)} ${unit}`.trimEnd();
  return found.num > 0n ? undefined : `\`${name}\` is ${quantity} but must be above 0`;
}

function notZero(name: string, found: Rational): string | undefined {
  return found.num === 0n ? `\`${name}\` is 0, which leaves nothing to drive` : undefined;
}
