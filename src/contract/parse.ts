import { sortFindings, type Checked, type Finding } from '../base/finding.ts';
import { nearest } from '../base/nearest.ts';
import { contractRecord } from './entities/contract.ts';
import type { Contract } from './model.ts';
import type { Spot } from './shapes/shape.ts';
import { resolveContract } from './resolve/contract.ts';
import { sourceText } from './source.ts';
import { tooManyFindings } from './syntax/findings.ts';
import { mostComparisons, mostFindings } from './syntax/limits.ts';
import { parseTree } from './syntax/parse-tree.ts';

/**
 * Reads a contract: text, tree, words, meaning. Findings are about its form and about what cannot be; what can be but
 * should not is the business of `rules/`.
 *
 * With errors the value holds the services and characteristics that have none, so that lints can be told beside errors; a
 * table must not be made from it. `undefined` when not even a board could be read.
 *
 * Ends in bounded time and memory for any text, and never throws for one.
 *
 * @param source the file's octets, or its text; ranges of findings are offsets into {@link sourceText}'s text
 */
export function parseContract(source: string | Uint8Array): Checked<Contract> {
  const { text, findings, readable } = sourceText(source);
  if (!readable) return { value: undefined, findings };
  const tree = parseTree(text);
  const found: Finding[] = [...tree.findings];
  let comparisons = mostComparisons;
  const spot: Spot = {
    name: 'the file',
    report(finding) {
      // One more than is told, so that it shows that there were more.
      if (found.length <= mostFindings) found.push(finding);
    },
    suggest(word, candidates) {
      comparisons -= candidates.length;
      return comparisons < 0 ? undefined : nearest(word, candidates);
    },
  };
  const draft = tree.root === undefined ? undefined : contractRecord.decode(tree.root, spot);
  const value = draft === undefined ? undefined : resolveContract(draft, spot);
  return { value, findings: limited(sortFindings(found)) };
}

function limited(findings: readonly Finding[]): readonly Finding[] {
  const next = findings[mostFindings];
  if (next === undefined) return findings;
  return [...findings.slice(0, mostFindings), tooManyFindings.at(next.at, { shown: mostFindings })];
}
