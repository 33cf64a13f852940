import type { Finding } from '../../base/finding.ts';
import type { Contract } from '../model.ts';
import { contractRules } from './registry.ts';

/**
 * What the lints of the contract find, in no particular order.
 *
 * @param text the contract's source
 * @param whole false when reading gave errors, so that parts are left out of `contract`
 */
export function lintContract(contract: Contract, text: string, whole: boolean): readonly Finding[] {
  return contractRules.filter((rule) => whole || !rule.needsWhole).flatMap((rule) => rule.check(contract, text));
}
