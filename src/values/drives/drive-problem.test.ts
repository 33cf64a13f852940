import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryDrive } from '../../../test/support/arbitrary-drive.ts';
import { rational } from '../../base/rational.ts';
import { driveProblem } from './drive-problem.ts';
import type { Drive, PulseWidthDrive, TableDrive, TimerDrive } from './model.ts';

const timer: TimerDrive = { kind: 'timer', clock: rational(1), prescalers: [1, 8], reloadBits: 16, of: 'frequency' };
const servo: PulseWidthDrive = {
  kind: 'pulse-width',
  clock: rational(1_000_000),
  bits: 16,
  from: { value: rational(0), width: rational(1, 1000) },
  to: { value: rational(90), width: rational(2, 1000) },
};
const table: TableDrive = {
  kind: 'table',
  bits: 8,
  points: [
    { value: rational(0), word: 0 },
    { value: rational(1), word: 255 },
  ],
};

const wrong: readonly (readonly [Drive, string])[] = [
  [{ kind: 'phase-accumulator', width: 65, clock: rational(1) }, '`width` is 65 bits but may be 8 to 64 bits'],
  [{ kind: 'phase-accumulator', width: 24, clock: rational(-1) }, '`clock` is -1 Hz but must be above 0'],
  [{ ...timer, reloadBits: 7 }, '`reload` is 7 bits but may be 8 to 32 bits'],
  [{ ...timer, prescalers: [] }, '`prescalers` is empty but a timer needs at least one factor'],
  [{ ...timer, prescalers: [1, 0] }, '`prescalers[1]` is 0 but may be a whole number from 1 to 4294967296'],
  [{ ...timer, prescalers: [1, 8, 8] }, '`prescalers[2]` is 8 but factors ascend and 8 stands before it'],
  [{ kind: 'pwm-duty', top: 1.5, full: rational(1) }, '`top` is 1.5 but may be a whole number from 1 to 4294967295'],
  [{ kind: 'pwm-duty', top: 255, full: rational(0) }, '`full` is 0 but must be above 0'],
  [{ ...servo, to: { ...servo.to, width: rational(-1) } }, '`to.width` is -1 s, less than 0 s'],
  [{ ...servo, to: servo.from }, '`from` and `to` have the same value'],
  [{ ...servo, to: { ...servo.to, width: servo.from.width } }, '`from` and `to` have the same pulse width'],
  [{ ...servo, bits: 8 }, 'the shorter pulse is 1000 counts but `bits` 8 count to 255'],
  [{ kind: 'dac', bits: 3, reference: rational(1), gain: rational(1) }, '`bits` is 3 bits but may be 4 to 24 bits'],
  [{ kind: 'adc', bits: 8, reference: rational(1), gain: rational(0) }, '`gain` is 0, which leaves nothing to drive'],
  [{ ...table, points: table.points.slice(1) }, '`points` has 1 but a line needs at least 2'],
  [
    { ...table, points: [...table.points, { value: rational(1), word: 3 }] },
    '`points[2]` has the value 1 but values rise and 1 stands before it',
  ],
  [
    { ...table, points: [...table.points, { value: rational(2), word: 256 }] },
    '`points[2]` is 256 but may be a whole number from 0 to 255',
  ],
];

describe('a drive', () => {
  it.each(wrong)('%# that cannot be worked out says why', (drive, problem) => {
    expect(driveProblem(drive)).toBe(problem);
  });

  it('that is well formed has no problem', () => {
    fc.assert(
      fc.property(arbitraryDrive, (drive) => {
        expect(driveProblem(drive)).toBeUndefined();
      }),
    );
  });
});
