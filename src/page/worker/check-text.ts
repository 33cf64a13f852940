import { checked as firstChecked, text as firstText } from 'virtual:first-contract';
import type { Checked } from '../../base/finding.ts';
import type { Compiled } from '../../table/compiled.ts';

/** What `check` gives; the checker itself is fetched when a text is not the one that comes checked with the page. */
export async function checkText(text: string): Promise<Checked<Compiled>> {
  if (text === firstText) return firstChecked;
  const { check } = await import('../../table/check.ts');
  return check(text);
}
