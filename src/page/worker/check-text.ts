import { plan as firstPlan } from 'virtual:first-board';
import { text as firstText } from 'virtual:first-text';
import type { Checked } from '../../base/finding.ts';
import type { Compiled } from '../../table/compiled.ts';
import { planOf, type BoardPlan } from './board-plan.ts';

/** What `check` gives; the checker itself is fetched when a text is not the one that comes checked with the page. */
export async function checkText(text: string): Promise<Checked<Compiled>> {
  if (text === firstText) return (await import('virtual:first-checked')).checked;
  const { check } = await import('../../table/check.ts');
  return check(text);
}

/** As `checkText`, for one who wants to run a board: it need not know where in the text things stand. */
export async function planText(text: string): Promise<Checked<BoardPlan>> {
  if (text === firstText) return { value: firstPlan, findings: [] };
  const { value, findings } = await checkText(text);
  return { value: value === undefined ? undefined : planOf(value), findings };
}
