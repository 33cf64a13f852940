import type { FindingDoc } from '../base/finding.ts';
import { contractFindings } from '../contract/catalogue.ts';
import { contractRules } from '../contract/rules/registry.ts';
import { waiverFindings } from '../contract/waive.ts';
import { compileFindings } from './findings.ts';
import { tableRules } from './rules/registry.ts';

/** Every finding that checking a contract can have; `gattwright explain` lists them. Each code stands once. */
export const allFindings: readonly FindingDoc[] = [
  ...contractFindings,
  ...contractRules.map((rule) => rule.doc),
  ...waiverFindings,
  ...compileFindings,
  ...tableRules.map((rule) => rule.doc),
];
