import { compiled as firstCompiled } from 'virtual:first-board';
import { text as firstText } from 'virtual:first-text';
import type { Checked } from '../../base/finding.ts';
import type { Compiled } from '../../table/compiled.ts';

/** What `check` gives; the checker itself is fetched when a text is not the one that comes checked with the page. */
export async function checkText(text: string): Promise<Checked<Compiled>> {
  if (text === firstText) return (await import('virtual:first-checked')).checked;
  const { check } = await import('../../table/check.ts');
  return check(text);
}

/** As `checkText`, for one who wants to run a board: it need not know where in the text things stand. */
export async function compileText(text: string): Promise<Checked<Compiled>> {
  return text === firstText ? { value: firstCompiled, findings: [] } : checkText(text);
}
