import type { Fix } from '../../src/base/finding.ts';

/** The text with the fix's edits made, last first so that earlier offsets stay. */
export function applyFix(text: string, fix: Fix): string {
  return [...fix.edits]
    .sort((a, b) => b.at.start - a.at.start)
    .reduce((whole, { at, text: wanted }) => whole.slice(0, at.start) + wanted + whole.slice(at.end), text);
}
