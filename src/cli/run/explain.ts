import { compareText, type FindingDoc } from '../../base/finding.ts';
import { nearest } from '../../base/nearest.ts';
import { comparisonFindings } from '../../proof/compare-findings.ts';
import { allFindings } from '../../table/catalogue.ts';
import { CannotRun } from '../cannot-run.ts';
import type { Run } from '../command.ts';
import type { Io } from '../io.ts';

/** Of contracts, and of boards that are compared with them. */
const everyFinding: readonly FindingDoc[] = [...allFindings, ...comparisonFindings];

export const run: Run = (input, io) => {
  const code = input.argument('CODE');
  const json = input.option('format') === 'json';
  if (code === undefined) {
    const docs = [...everyFinding].sort((a, b) => compareText(a.code, b.code));
    io.out(json ? `${JSON.stringify(docs, undefined, 2)}\n` : list(docs));
    return Promise.resolve(0);
  }
  const doc = everyFinding.find((candidate) => candidate.code === code);
  if (doc === undefined) {
    const near = nearest(
      code,
      everyFinding.map((candidate) => candidate.code),
    );
    throw new CannotRun(
      `there is no finding \`${code}\``,
      near === undefined ? '`gattwright explain` lists them' : `did you mean \`${near}\`?`,
    );
  }
  io.out(json ? `${JSON.stringify(doc, undefined, 2)}\n` : page(doc, io));
  return Promise.resolve(0);
};

function list(docs: readonly FindingDoc[]): string {
  const width = Math.max(...docs.map(({ code }) => code.length));
  return docs.map(({ code, severity, title }) => `${code.padEnd(width)}  ${severity.padEnd(7)}  ${title}\n`).join('');
}

function page(doc: FindingDoc, { outPalette: paint }: Io): string {
  const indented = (text: string): string => text.trimEnd().replace(/^(?=.)/gm, '    ');
  return [
    `${paint.strong(doc.code)}  ${paint[doc.severity](doc.severity)}`,
    doc.title,
    '',
    doc.why,
    '',
    `Source: ${doc.source}`,
    '',
    ...(doc.bad === ''
      ? []
      : ['With the finding:', '', indented(doc.bad), '', 'Without it:', '', indented(doc.good), '']),
  ].join('\n');
}
