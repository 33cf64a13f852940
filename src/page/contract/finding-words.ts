import type { Severity } from '../../base/finding.ts';

/** Findings are told as parts of a sentence; on the page they stand as one. */
export function sentence(text: string): string {
  const first = /^[a-z]/.test(text) ? text.charAt(0).toUpperCase() + text.slice(1) : text;
  return /[.?!]$/.test(first) ? first : `${first}.`;
}

/** A text in pieces: what stands in backticks is the contract's own words. */
export function spansOf(text: string): readonly { readonly code: boolean; readonly text: string }[] {
  return text
    .split(/`([^`]*)`/)
    .map((part, i) => ({ code: i % 2 === 1, text: part }))
    .filter(({ text: part }) => part !== '');
}

/** Marks of their own shape, so that no colour is needed. */
export const severityMarks: Readonly<Record<Severity, string>> = { error: '▲', warning: '△', note: '○' };

export const severityWords: Readonly<Record<Severity, string>> = { error: 'Error', warning: 'Warning', note: 'Note' };

/** `2 errors, 1 warning`; empty without any. */
export function countWords(findings: readonly { readonly severity: Severity }[]): string {
  const counts = (['error', 'warning', 'note'] as const).map((severity) => {
    const count = findings.filter((finding) => finding.severity === severity).length;
    return count === 0 ? '' : `${count} ${severity}${count === 1 ? '' : 's'}`;
  });
  return counts.filter((part) => part !== '').join(', ');
}
