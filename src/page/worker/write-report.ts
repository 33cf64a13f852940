import { reportHtml } from '../../proof/report-html.ts';
import { reportJson } from '../../proof/report-json.ts';
import { reportJunit } from '../../proof/report-junit.ts';
import { makeReport } from '../../proof/report.ts';
import type { Proved } from './proof-session.ts';
import type { ReportForm } from './protocol.ts';

/** @param name the contract's file, for the report's head */
export function writeReport({ result, table, text }: Proved, form: ReportForm, name: string): string {
  const report = makeReport(result, table, name, text);
  switch (form) {
    case 'html':
      return reportHtml(report);
    case 'junit':
      return reportJunit(report);
    case 'json':
      return `${JSON.stringify(reportJson(report), undefined, 2)}\n`;
  }
}
