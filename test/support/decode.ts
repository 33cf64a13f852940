import { nearest } from '../../src/base/nearest.ts';
import type { Finding } from '../../src/base/finding.ts';
import type { Shape } from '../../src/contract/shapes/shape.ts';
import { parseTree } from '../../src/contract/syntax/parse-tree.ts';

/** What a shape reads from a value as it would be written, and the codes, messages and hints of what it reports. */
export function decodeWith<T>(
  shape: Shape<T>,
  written: string,
): { readonly value: T | undefined; readonly codes: readonly string[]; readonly found: readonly Finding[] } {
  const tree = parseTree(written);
  const found: Finding[] = [...tree.findings];
  const spot = {
    name: '`it`',
    report: (finding: Finding) => {
      found.push(finding);
    },
    suggest: (word: string, candidates: readonly string[]) => nearest(word, candidates),
  };
  const value = tree.root === undefined ? undefined : shape.decode(tree.root, spot);
  return { value, codes: found.map(({ code }) => code), found };
}
