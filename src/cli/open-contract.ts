import type { Finding } from '../base/finding.ts';
import { hasErrors } from '../base/finding.ts';
import { countFindings, findingJson, renderFindings } from '../base/render-finding.ts';
import { lineIndex } from '../base/text-range.ts';
import type { Contract } from '../contract/model.ts';
import { sourceText } from '../contract/source.ts';
import { loadContract, type ContractSource, type Loaded } from '../links/load-contract.ts';
import { check } from '../table/check.ts';
import type { Table } from '../table/model.ts';
import { CannotRun } from './cannot-run.ts';
import type { Io } from './io.ts';

export type OpenedContract = ContractSource & {
  /** The octets as text, for excerpts; what is not UTF-8 shows as U+FFFD. */
  readonly text: string;
};

/** @throws CannotRun when there is nothing to read */
export async function openContract(where: string): Promise<OpenedContract> {
  const source = must(await loadContract(where));
  return { ...source, text: sourceText(source.bytes).text };
}

export type CompiledContract = OpenedContract & {
  readonly contract: Contract;
  readonly table: Table;
  readonly findings: readonly Finding[];
};

/**
 * Opens and compiles a contract. If it has errors they are told on standard error, or with `--format json` as JSON in
 * place of the result, and there is nothing to go on with.
 *
 * @param format as `--format` says
 * @param onErrors takes the errors once they are told
 * @returns `undefined` when the contract has errors
 */
export async function openCompiled(
  where: string,
  io: Io,
  format?: string,
  onErrors?: (errors: readonly Finding[]) => void,
): Promise<CompiledContract | undefined> {
  const opened = await openContract(where);
  const { value, findings } = check(opened.bytes);
  if (value === undefined || hasErrors(findings)) {
    const errors = findings.filter(({ severity }) => severity === 'error');
    if (format === 'json') io.out(findingsJson(errors, opened.name, opened.text));
    else io.err(`${renderFindings(errors, opened.name, opened.text, io.errPalette)}\n`);
    onErrors?.(errors);
    return undefined;
  }
  return { ...opened, ...value, findings };
}

/** Findings as one JSON document, for programs. */
export function findingsJson(findings: readonly Finding[], name: string, text: string): string {
  const lines = lineIndex(text);
  const result = {
    file: name,
    summary: countFindings(findings),
    findings: findings.map((finding) => findingJson(finding, lines)),
  };
  return `${JSON.stringify(result, undefined, 2)}\n`;
}

/** @throws CannotRun with the reason, when there is one */
export function must<T>(loaded: Loaded<T>): T {
  if (!loaded.ok) throw new CannotRun(loaded.message, loaded.hint);
  return loaded.value;
}
