import type { Handle } from '../../table/model.ts';

/** Whether a range of handles may be asked about: 0x0001 <= start <= end. Core Vol 3 Part F 3.4.3.1. */
export function isRange(start: Handle, end: Handle): boolean {
  return start >= 1 && start <= end;
}
