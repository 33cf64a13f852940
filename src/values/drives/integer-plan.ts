import { multiply, rational, type Rational } from '../../base/rational.ts';
import { ok, refuse } from '../refusal.ts';
import { codedRange, scaleFactor, type CodeRange } from '../scale.ts';
import type { IntegerType, Result, ValueType } from '../type.ts';
import { driveProblem } from './drive-problem.ts';
import { drivable, driveOutput, driveWords } from './drive.ts';
import { highestOf } from './line.ts';
import type { Drive } from './model.ts';
import type { Draft } from './plan-draft.ts';
import { provePlan } from './plan-proof.ts';
import { widestStep } from './plan-writer.ts';
import type { IntegerPlan, PlanInput, PlanWord } from './plan.ts';
import { timerDrafts } from './timer-draft.ts';
import { isChain } from './timer.ts';
import { driveInUnit } from './unit.ts';
import { adcDrafts, linearDrafts, tableDrafts } from './word-draft.ts';

/**
 * Integer-only arithmetic between the codes that the type allows and the drive's register words, with its proof. For an
 * ADC from the reading to the code.
 *
 * Special codes are not looked at: a code that stands for no quantity is not to be driven.
 *
 * @returns a refusal when the type or the drive cannot be used, or 64-bit integers do not hold the arithmetic
 */
export function integerPlan(drive: Drive, type: ValueType): Result<IntegerPlan> {
  const problem = drivable(type, drive) ?? driveProblem(drive);
  if (problem !== undefined) return refuse('type', problem);
  // `drivable` lets nothing else pass.
  if (type.kind !== 'integer') return refuse('type', 'a drive needs an integer type');
  const codes = codedRange(type);
  if (codes.min > codes.max) return refuse('range', 'no code of the type lies in its range');
  const scaled = driveInUnit(drive, type.unit);
  const factor = scaleFactor(type.scale);
  const drafts = draftsOf(scaled, factor, codes);
  if (drafts === undefined) {
    return refuse('type', 'no arithmetic in 64-bit integers leads from these codes to the register word');
  }
  // Only where prescalers do not divide each other may the plan choose another one than the drive.
  const asks = scaled.kind === 'timer' && !isChain(scaled.prescalers);
  const expected = (code: bigint) =>
    driveOutput(scaled, multiply(factor, rational(code))).words.map((word) => word.value);
  return ok({
    kind: drive.kind,
    input: planInput(drive, type, codes),
    words: planWords(drive, type),
    segments: drafts.map((draft) => draft.segment),
    intermediateBits: widestStep(drafts.flatMap((draft) => draft.segment.steps)),
    ...provePlan(drafts, asks ? expected : undefined),
  });
}

function planInput(drive: Drive, type: IntegerType, codes: CodeRange): PlanInput {
  return drive.kind === 'adc'
    ? { name: 'reading', signed: false, bits: drive.bits, from: 0n, to: highestOf(drive.bits) }
    : { name: 'code', signed: type.signed, bits: type.bits, from: codes.min, to: codes.max };
}

function planWords(drive: Drive, type: IntegerType): readonly PlanWord[] {
  return drive.kind === 'adc'
    ? [{ name: 'code', bits: type.bits, signed: type.signed }]
    : driveWords(drive).map((word) => ({ ...word, signed: false }));
}

function draftsOf(drive: Drive, factor: Rational, codes: CodeRange): readonly Draft[] | undefined {
  switch (drive.kind) {
    case 'timer':
      return timerDrafts(drive, factor, codes);
    case 'table':
      return tableDrafts(drive, factor, codes);
    case 'adc':
      return adcDrafts(drive, factor, codes);
    default:
      return linearDrafts(drive, factor, codes);
  }
}
