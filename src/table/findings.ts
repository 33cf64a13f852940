import { findingKind, type FindingDoc } from '../base/finding.ts';
import type { Handle } from './model.ts';

/** `0x0012` */
export function showHandle(handle: Handle): string {
  return `0x${handle.toString(16).toUpperCase().padStart(4, '0')}`;
}

const head = `contract: 1
board:
  name: Bench {unit}
  unit: "01"
uuid-base: 5f1c0000-7d3a-4e0b-9c55-3a1f60e2b7d8
services:
`;

const pinned = (from: string): string => `${head}  - id: bench
    handles: { from: ${from} }
    characteristics:
      - id: count
        label: Parts counted
        type: uint32
        access: [read, notify]
        notify: { on: change, at-most: 10 Hz }
`;

/** A pinned handle that earlier attributes or their reserve already take. */
export const handleTaken = findingKind<{ service: string; from: Handle; free: Handle; reserved: boolean }>({
  code: 'handle-taken',
  severity: 'error',
  title: 'Pinned handle already in use',
  why: 'Handles rise through the table in the order of the services. A service cannot begin where earlier attributes stand, and not in handles that an earlier service reserves.',
  source: 'Core Vol 3 Part F 3.2.2, Part G 2.6.2',
  bad: pinned('0x0003'),
  good: pinned('0x0020'),
  message: ({ service, from, free, reserved }) =>
    `\`${service}\` is pinned at handle ${showHandle(from)}, but the services before it ${
      reserved ? 'take and reserve' : 'take'
    } the handles up to ${showHandle(free - 1)}`,
  hint: ({ free }) => `set \`handles: { from: ${showHandle(free)} }\` or more, or move the service further up`,
});

/** More attributes, gaps and reserves than there are handles. */
export const handlesExhausted = findingKind<{ service: string; needed: number; first: Handle }>({
  code: 'handles-exhausted',
  severity: 'error',
  title: 'No handles left',
  why: 'A handle is 16 bits: a table ends at 0xFFFF, gaps included.',
  source: 'Core Vol 3 Part F 3.2.2',
  bad: pinned('0xFFFE'),
  good: pinned('0x0020'),
  message: ({ service, needed, first }) =>
    `\`${service}\` needs ${needed} handles from ${showHandle(first)} on, but the last handle is 0xFFFF`,
  hint: () => 'pin services lower, reserve fewer handles, or leave out characteristics',
});

/** Codes of the compiler. */
export const compileFindings: readonly FindingDoc[] = [handleTaken.doc, handlesExhausted.doc];
