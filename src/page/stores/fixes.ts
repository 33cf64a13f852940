import type { Fix } from '../../base/finding.ts';
import { contractText, editText, isChecked } from './contract.ts';

/**
 * The text with a fix applied; edits are applied from the back, so that places stay right.
 *
 * @param fix of a finding about exactly this text
 */
export function withFix(text: string, fix: Fix): string {
  return [...fix.edits]
    .sort((a, b) => b.at.start - a.at.start)
    .reduce((changed, { at, text: put }) => changed.slice(0, at.start) + put + changed.slice(at.end), text);
}

/** One click: applies a fix of `checked`. Does nothing when the text has changed since. */
export function applyFix(fix: Fix): void {
  if (isChecked.value) editText(withFix(contractText.value, fix));
}
