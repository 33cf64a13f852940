import { sortFindings, type Finding } from '../../src/base/finding.ts';
import { parseContract } from '../../src/contract/parse.ts';
import { lintContract } from '../../src/contract/rules/run.ts';

/** All that reading and the contract's lints find, in the order of the text. */
export function lints(text: string): readonly Finding[] {
  const { value, findings } = parseContract(text);
  return sortFindings([...findings, ...(value === undefined ? [] : lintContract(value, text, true))]);
}

/** The codes of {@link lints}, in the order of the text. */
export function codes(text: string): readonly string[] {
  return lints(text).map(({ code }) => code);
}
