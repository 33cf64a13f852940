import { findingKind, type Finding, type FindingDoc } from '../../base/finding.ts';
import { bug } from '../../base/bug.ts';
import { collect, type Report, type RuleWords } from '../../contract/rules/rule.ts';
import type { SourceRange } from '../../base/text-range.ts';
import { placeOf, type Characteristic } from '../../contract/model.ts';
import type { Compiled } from '../compiled.ts';
import type { ValueDefinition } from '../model.ts';

/** A lint that needs lengths on the air, handles or advertising data. */
export type TableRule = {
  readonly doc: FindingDoc;
  check(compiled: Compiled, text: string): readonly Finding[];
};

/** A rule about the table as a whole. */
export function tableRule<Args>(
  words: RuleWords<Args>,
  check: (compiled: Compiled, report: Report<Args>, text: string) => void,
): TableRule {
  const kind = findingKind(words);
  return {
    doc: kind.doc,
    check: (compiled, text) =>
      collect(kind, (report) => {
        check(compiled, report, text);
      }),
  };
}

/** A value as the table holds it, with the characteristic it comes from. */
export type ValueInContract = { readonly value: ValueDefinition; readonly characteristic: Characteristic };

/** A rule about each value that the contract's author wrote or chose. */
export function valueRule<Args>(
  words: RuleWords<Args>,
  check: (entry: ValueInContract, report: Report<Args>, compiled: Compiled, text: string) => void,
): TableRule {
  return tableRule(words, (compiled, report, text) => {
    for (const entry of valuesInContract(compiled)) check(entry, report, compiled, text);
  });
}

/** The place of what makes a value as long as it is. */
export function lengthPlace({ where }: Characteristic): SourceRange {
  return placeOf(where, ['length', 'type', 'adopted'].find((key) => where.keys.has(key)) ?? 'type');
}

/** All values but those of `board:`, in the order of the text. */
export function valuesInContract({ contract, table }: Compiled): readonly ValueInContract[] {
  let index = 0;
  return contract.services.flatMap((service) => {
    const own = service.characteristics.map((characteristic): ValueInContract => {
      const value = table.values[index++];
      bug(value !== undefined, `no value for ${characteristic.id}`);
      return { value, characteristic };
    });
    return service.origin === 'board-information' ? [] : own;
  });
}
