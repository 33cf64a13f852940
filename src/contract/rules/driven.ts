import { drivable } from '../../values/drives/drive.ts';
import { driveProblem } from '../../values/drives/drive-problem.ts';
import type { Drive } from '../../values/drives/model.ts';
import type { IntegerType } from '../../values/type.ts';
import type { Characteristic } from '../model.ts';

/** The drive and the type it serves, if both are sound enough to be calculated with. */
export function drivenBy({ drive, type }: Characteristic): { drive: Drive; type: IntegerType } | undefined {
  if (drive === undefined || type.kind !== 'integer') return undefined;
  if (driveProblem(drive) !== undefined || drivable(type, drive) !== undefined) return undefined;
  return { drive, type };
}
