import { findingKind, hasErrors, type Finding, type FindingDoc } from '../base/finding.ts';
import { nearest } from '../base/nearest.ts';
import type { SourceRange } from '../base/text-range.ts';
import type { Contract, Waiver } from './model.ts';
import { characteristics } from './rules/sample.ts';
import { mostComparisons } from './syntax/limits.ts';

const waiving = (code: string, because: string, access = '[read, notify]'): string =>
  characteristics(`
id: press
label: Button presses
type: uint32
access: ${access}
waive: [{ finding: ${code}, because: ${because} }]`);

const sound = waiving('notify-without-rate', 'a person presses the button');

export const waiverUnused = findingKind<{ code: string }>({
  code: 'waiver-unused',
  severity: 'warning',
  title: 'Waiver that silences nothing',
  why: 'What it excused is gone, or stands elsewhere; left in place it would silence the next one unseen.',
  source: 'contract language',
  bad: waiving('notify-without-rate', 'a person presses the button', '[read, write]'),
  good: sound,
  message: ({ code }) => `nothing here has the finding \`${code}\` that this waives`,
  hint: () => 'delete the waiver, or move it to what it is about',
});

export const waiverOfError = findingKind<{ code: string }>({
  code: 'waiver-of-error',
  severity: 'warning',
  title: 'Waiver of an error',
  why: 'An error means that the contract cannot work or breaks a standard; a reason does not change that.',
  source: 'contract language',
  bad: waiving('type-too-narrow', 'it has worked so far'),
  good: sound,
  message: ({ code }) => `\`${code}\` is an error, and errors cannot be waived`,
  hint: ({ code }) => `delete the waiver, and mend what \`${code}\` is about`,
});

export const waiverOfUnknown = findingKind<{ code: string; like: string | undefined }>({
  code: 'waiver-of-unknown',
  severity: 'warning',
  title: 'Waiver of a finding that does not exist',
  why: 'A misspelt code silences nothing.',
  source: 'contract language',
  bad: waiving('notify-without-rates', 'a person presses the button'),
  good: sound,
  message: ({ code }) => `there is no finding \`${code}\``,
  hint: ({ like }) =>
    like === undefined ? 'write the code that stands in brackets in the report' : `write \`${like}\``,
});

export const waiverWithoutReason = findingKind<{ code: string }>({
  code: 'waiver-without-reason',
  severity: 'error',
  title: 'Waiver without a reason',
  why: 'Next year nobody knows whether the warning was understood or only in the way.',
  source: 'contract language',
  bad: waiving('notify-without-rate', '" "'),
  good: sound,
  message: ({ code }) => `the waiver of \`${code}\` gives no reason`,
  hint: () => 'write into `because` why this is right here',
});

/** Codes of this file. */
export const waiverFindings: readonly FindingDoc[] = [
  waiverUnused.doc,
  waiverOfError.doc,
  waiverOfUnknown.doc,
  waiverWithoutReason.doc,
];

/** A waiver and the text it reaches over. */
type Scoped = { readonly waiver: Waiver; readonly scope: SourceRange | undefined };

/**
 * Takes out the warnings and notes that the contract waives, and adds what is wrong with the waivers themselves, at the
 * end. Errors stay.
 *
 * @param catalogue all codes that exist, to tell a misspelt one
 */
export function applyWaivers(
  contract: Contract,
  findings: readonly Finding[],
  catalogue: readonly FindingDoc[],
): readonly Finding[] {
  const severities = new Map(catalogue.map((doc) => [doc.code, doc.severity]));
  const about: Finding[] = [];
  const active: (Scoped & { used: boolean })[] = [];
  let comparisons = mostComparisons;
  const suggest = (code: string): string | undefined => {
    comparisons -= severities.size;
    return comparisons < 0 ? undefined : nearest(code, severities.keys());
  };
  for (const scoped of scopedWaivers(contract)) {
    const { finding: code, because, at } = scoped.waiver;
    const severity = severities.get(code);
    if (severity === undefined) about.push(waiverOfUnknown.at(at, { code, like: suggest(code) }));
    else if (severity === 'error') about.push(waiverOfError.at(at, { code }));
    else if (because.trim() === '') about.push(waiverWithoutReason.at(at, { code }));
    else active.push({ ...scoped, used: false });
  }

  const kept = findings.filter((finding) => {
    if (finding.severity === 'error') return true;
    const waivers = active.filter(({ waiver, scope }) => waiver.finding === finding.code && within(finding.at, scope));
    for (const waiver of waivers) waiver.used = true;
    return waivers.length === 0;
  });
  // After an error later stages have not run, and what they would have found is not there to be waived.
  if (!hasErrors(kept)) {
    for (const { waiver, used } of active) {
      if (!used) about.push(waiverUnused.at(waiver.at, { code: waiver.finding }));
    }
  }
  return [...kept, ...about];
}

function scopedWaivers(contract: Contract): readonly Scoped[] {
  return [
    ...contract.waivers.map((waiver) => ({ waiver, scope: undefined })),
    ...contract.radio.waivers.map((waiver) => ({ waiver, scope: contract.radio.where.self })),
    ...contract.services.flatMap((service) => [
      ...service.waivers.map((waiver) => ({ waiver, scope: service.where.self })),
      ...service.characteristics.flatMap(({ waivers, where }) =>
        waivers.map((waiver) => ({ waiver, scope: where.self })),
      ),
    ]),
  ];
}

/** True when `inner` lies in `outer`; anything lies in the whole contract. */
function within(inner: SourceRange, outer: SourceRange | undefined): boolean {
  return outer === undefined || (outer.start <= inner.start && inner.end <= outer.end);
}
