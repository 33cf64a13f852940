import { tableJson } from '../../table/json.ts';
import { renderTable } from '../../table/render.ts';
import { required, type Run } from '../command.ts';
import { openCompiled } from '../open-contract.ts';

export const run: Run = async (input, io) => {
  const format = input.option('format');
  const compiled = await openCompiled(required(input, 'FILE'), io, format);
  if (compiled === undefined) return 1;
  io.out(
    format === 'json'
      ? `${JSON.stringify(tableJson(compiled.table), undefined, 2)}\n`
      : renderTable(compiled.table, { columns: io.columns, palette: io.outPalette }),
  );
  return 0;
};
