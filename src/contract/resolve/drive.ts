import { unreachable } from '../../base/bug.ts';
import type { Microseconds } from '../../base/quantity.ts';
import { rational, type Rational } from '../../base/rational.ts';
import { unitByCode } from '../../numbers/units.ts';
import { drivable } from '../../values/drives/drive.ts';
import { driveProblem } from '../../values/drives/drive-problem.ts';
import type { Drive } from '../../values/drives/model.ts';
import { timerQuantity } from '../../values/drives/unit.ts';
import type { UnitCode, ValueType } from '../../values/type.ts';
import type { DriveDraft } from '../entities/drive.ts';
import { missingKey } from '../shapes/findings.ts';
import type { Report } from '../shapes/shape.ts';
import { driveForm, driveNotForValue, saidTwice, timerQuantityUnclear } from './findings.ts';

const percentage = 0x27ad;

/** Fits a drive to the value it drives; everything that keeps it from working is reported. */
export function resolveDrive(draft: DriveDraft, type: ValueType, report: Report): Drive | undefined {
  const at = draft.where.keys.get('kind')?.value ?? draft.where.self;
  const unsuited = drivable(type);
  if (unsuited !== undefined) {
    report(driveNotForValue.at(at, { why: unsuited }));
    return undefined;
  }
  const unit = type.kind === 'integer' || type.kind === 'float' ? type.unit : undefined;
  const made = unit === undefined ? undefined : build(draft, unit, report);
  if (made === undefined) return undefined;
  const problem = driveProblem(made);
  if (problem !== undefined) {
    report(driveForm.at(at, { why: problem }));
    return undefined;
  }
  const mismatch = drivable(type, made);
  if (mismatch === undefined) return made;
  report(driveNotForValue.at(at, { why: mismatch }));
  return undefined;
}

function build(draft: DriveDraft, unit: UnitCode, report: Report): Drive | undefined {
  const { kind } = draft;
  switch (kind) {
    case 'phase-accumulator':
      return { kind, width: draft.width, clock: draft.clock };
    case 'timer': {
      const of = draft.of ?? timerQuantity(unit);
      if (of === undefined) {
        const at = draft.where.keys.get('kind')?.value ?? draft.where.self;
        report(timerQuantityUnclear.at(at, { unit: unitByCode(unit)?.name ?? 'an unknown unit' }));
        return undefined;
      }
      const prescalers = [...draft.prescalers].sort((a, b) => a - b);
      return { kind, clock: draft.clock, prescalers, reloadBits: draft.reload, of };
    }
    case 'pwm-duty': {
      const full = draft.full ?? rational(unit === percentage ? 100 : 1);
      if (draft.top !== undefined && draft.bits !== undefined) {
        const at = draft.where.keys.get('bits')?.key ?? draft.where.self;
        report(saidTwice.at(at, { what: 'how far the timer counts', keys: ['top', 'bits'] }));
        return undefined;
      }
      const top = draft.top ?? (draft.bits === undefined ? undefined : 2 ** draft.bits - 1);
      if (top !== undefined) return { kind, top, full };
      const at = draft.where.keys.get('kind')?.key ?? draft.where.self;
      report(missingKey.at(at, { key: 'top', record: 'a PWM duty without `bits`', example: '999' }));
      return undefined;
    }
    case 'pulse-width': {
      const end = (given: { value: Rational; width: Microseconds }): { value: Rational; width: Rational } => ({
        value: given.value,
        width: rational(given.width, 1_000_000),
      });
      return { kind, clock: draft.clock, bits: draft.bits, from: end(draft.from), to: end(draft.to) };
    }
    case 'dac':
    case 'adc':
      return { kind, bits: draft.bits, reference: draft.reference, gain: draft.gain };
    case 'table':
      return { kind, bits: draft.bits, points: draft.points };
  }
  return unreachable(kind);
}
