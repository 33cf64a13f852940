import { hasErrors, sortFindings, type Checked } from '../base/finding.ts';
import { parseContract } from '../contract/parse.ts';
import { lintContract } from '../contract/rules/run.ts';
import { sourceText } from '../contract/source.ts';
import { applyWaivers } from '../contract/waive.ts';
import { allFindings } from './catalogue.ts';
import { compileTable } from './compile.ts';
import type { Compiled } from './compiled.ts';
import { tableRules } from './rules/registry.ts';

export type { Compiled } from './compiled.ts';

/**
 * The way in for everybody who has a contract's text: reads it, lints it, compiles it, lints the table, takes out what
 * the contract waives, and gives everything found on the way, in the order of the text.
 *
 * @param source the text, or its octets as UTF-8
 * @returns no value when a finding is an error
 */
export function check(source: string | Uint8Array): Checked<Compiled> {
  const parsed = parseContract(source);
  const contract = parsed.value;
  if (contract === undefined) return { value: undefined, findings: sortFindings(parsed.findings) };
  const { text } = sourceText(source);
  const whole = !hasErrors(parsed.findings);
  const found = [...parsed.findings, ...lintContract(contract, text, whole)];
  // What reading refused is not in the contract, and a table without it would be another table.
  const compiled = whole ? compileTable(contract) : { value: undefined, findings: [] };
  found.push(...compiled.findings);
  const table = compiled.value;
  if (table !== undefined) found.push(...tableRules.flatMap((rule) => rule.check({ contract, table }, text)));
  const findings = sortFindings(applyWaivers(contract, found, allFindings));
  return { value: table === undefined || hasErrors(findings) ? undefined : { contract, table }, findings };
}
