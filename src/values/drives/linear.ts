import { unreachable } from '../../base/bug.ts';
import type { Rational } from '../../base/rational.ts';
import type { UnitCode } from '../type.ts';
import { adcLine } from './adc.ts';
import { dacLine } from './dac.ts';
import { valueOnLine, wordOnLine } from './line.ts';
import type { AdcDrive, DacDrive, PhaseAccumulatorDrive, PulseWidthDrive, PwmDutyDrive } from './model.ts';
import { limit, outcome, type DriveLine, type DriveOutcome } from './outcome.ts';
import { phaseAccumulatorLine } from './phase-accumulator.ts';
import { pulseWidthLine } from './pulse-width.ts';
import { pwmDutyLine } from './pwm-duty.ts';

/** The drives with one word on one line. */
export type LinearDrive = PhaseAccumulatorDrive | PwmDutyDrive | PulseWidthDrive | DacDrive | AdcDrive;

export function driveLine(drive: LinearDrive): DriveLine {
  switch (drive.kind) {
    case 'phase-accumulator':
      return phaseAccumulatorLine(drive);
    case 'pwm-duty':
      return pwmDutyLine(drive);
    case 'pulse-width':
      return pulseWidthLine(drive);
    case 'dac':
      return dacLine(drive);
    case 'adc':
      return adcLine(drive);
  }
  return unreachable(drive);
}

export function linearOutcome(drive: LinearDrive, value: Rational, unit: UnitCode): DriveOutcome {
  const line = driveLine(drive);
  const { word, beyond } = wordOnLine(line, value);
  const produced = valueOnLine(line, word);
  const limited = beyond === undefined ? undefined : limit(beyond, value, produced, line.ends[beyond], unit);
  return outcome(value, produced, [{ ...line.word, value: word }], limited);
}
