import {
  findingKind,
  type Finding,
  type FindingDoc,
  type FindingKind,
  type Fix,
  type Related,
} from '../../base/finding.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { Characteristic, Contract, Service, Where } from '../model.ts';
import { shapesOf, type Shape } from './shapes.ts';

/** One lint: what it is about, and the search for it. Never throws, whatever contract the decoder let through. */
export type Rule = {
  readonly doc: FindingDoc;
  /** True for a rule that finds by what is missing: beside errors, parts of the contract are missing anyway. */
  readonly needsWhole: boolean;
  /** @param text the contract's source, which fixes need to keep to its layout */
  check(contract: Contract, text: string): readonly Finding[];
};

/** A lint's words: the catalogue entry, and the sentences made from what was found. */
export type RuleWords<Args> = FindingDoc & {
  readonly message: (args: Args) => string;
  readonly hint: (args: Args) => string;
};

export type Report<Args> = (
  at: SourceRange,
  args: Args,
  extra?: { readonly related?: readonly (Related | undefined)[]; readonly fixes?: readonly (Fix | undefined)[] },
) => void;

/** Where a characteristic stands, for rules that look beyond it. */
export type Surroundings = { readonly service: Service; readonly contract: Contract; readonly text: string };

/** A related place, if the contract gives the key; a default stands nowhere. */
export function givenAt(where: Where, key: string, message: string): Related | undefined {
  const place = where.keys.get(key);
  return place === undefined ? undefined : { message, at: place.value };
}

/** Collects what `search` reports; related places and fixes that there are not are left out. */
export function collect<Args>(kind: FindingKind<Args>, search: (report: Report<Args>) => void): readonly Finding[] {
  const findings: Finding[] = [];
  search((at, args, extra) => {
    const fixes = (extra?.fixes ?? []).filter((fix) => fix !== undefined);
    const related = (extra?.related ?? []).filter((place) => place !== undefined);
    findings.push(kind.at(at, args, { related, fixes }));
  });
  return findings;
}

/** A rule about the contract as a whole. */
export function contractRule<Args>(
  words: RuleWords<Args>,
  check: (contract: Contract, report: Report<Args>, text: string) => void,
  options: { readonly needsWhole?: boolean } = {},
): Rule {
  const kind = findingKind(words);
  return {
    doc: kind.doc,
    needsWhole: options.needsWhole ?? false,
    check: (contract, text) =>
      collect(kind, (report) => {
        check(contract, report, text);
      }),
  };
}

/** A rule about each service by itself. */
export function serviceRule<Args>(
  words: RuleWords<Args>,
  check: (service: Service, report: Report<Args>, contract: Contract, text: string) => void,
  options: { readonly needsWhole?: boolean } = {},
): Rule {
  return contractRule(
    words,
    (contract, report, text) => {
      for (const service of contract.services) check(service, report, contract, text);
    },
    options,
  );
}

/** A rule about each characteristic that the contract's author wrote or chose; texts of `board:` are not asked. */
export function characteristicRule<Args>(
  words: RuleWords<Args>,
  check: (characteristic: Characteristic, report: Report<Args>, around: Surroundings) => void,
): Rule {
  return serviceRule(words, (service, report, contract, text) => {
    if (service.origin === 'board-information') return;
    for (const characteristic of service.characteristics) check(characteristic, report, { service, contract, text });
  });
}

/** A rule about each value and each part of a value: the characteristic's type, its fields, its elements. */
export function shapeRule<Args>(
  words: RuleWords<Args>,
  check: (shape: Shape, report: Report<Args>, around: Surroundings) => void,
): Rule {
  return characteristicRule(words, (characteristic, report, around) => {
    for (const shape of shapesOf(characteristic)) check(shape, report, around);
  });
}
