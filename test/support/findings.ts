import { expect } from 'vitest';
import type { Finding } from '../../src/base/finding.ts';
import { lineIndex } from '../../src/base/text-range.ts';
import { parseContract } from '../../src/contract/parse.ts';

/** What a text has findings in: by default reading it as a contract. */
export type Search = (text: string) => readonly Finding[];

const reading: Search = (text) => parseContract(text).findings;

/** Each finding as `line:column code`, both from 1. */
export function places(findings: readonly Finding[], text: string): readonly string[] {
  const lines = lineIndex(text);
  return findings.map(({ at, code }) => {
    const { line, column } = lines.position(at.start);
    return `${line}:${column} ${code}`;
  });
}

/** Holds a text to exactly these findings, in this order: `expectFindings(text, ['2:10 unknown-key'])`. */
export function expectFindings(text: string, expected: readonly string[], search: Search = reading): void {
  expect(places(search(text), text)).toEqual(expected);
}

/** Each finding as its code and the words it points at: `wrong-kind yes`. */
export function pointing(text: string, search: Search = reading): readonly string[] {
  return search(text).map(({ at, code }) => `${code} ${text.slice(at.start, at.end)}`);
}
