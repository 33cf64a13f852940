import { diffTables } from '../../table/diff.ts';
import { diffJson, renderDiff } from '../../table/diff/render.ts';
import { required, type Run } from '../command.ts';
import { openCompiled } from '../open-contract.ts';

export const run: Run = async (input, io) => {
  const format = input.option('format');
  const old = await openCompiled(required(input, 'OLD'), io, format);
  // One JSON document, not two.
  if (old === undefined && format === 'json') return 2;
  const next = await openCompiled(required(input, 'NEW'), io, format);
  if (old === undefined || next === undefined) return 2;
  const changes = diffTables(old.table, next.table);
  io.out(
    format === 'json'
      ? `${JSON.stringify(diffJson(changes, old, next), undefined, 2)}\n`
      : renderDiff(changes, old, next, io.outPalette),
  );
  return changes.some(({ effect }) => effect === 'breaks') ? 1 : 0;
};
