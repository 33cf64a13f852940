import { hasErrors } from '../../base/finding.ts';
import { renderFindings } from '../../base/render-finding.ts';
import { check } from '../../table/check.ts';
import { required, type Run } from '../command.ts';
import { findingsJson, openContract } from '../open-contract.ts';

export const run: Run = async (input, io) => {
  const { name, bytes, text } = await openContract(required(input, 'FILE'));
  const { findings } = check(bytes);
  if (input.option('format') === 'json') {
    io.out(findingsJson(findings, name, text));
  } else {
    io.out(`${renderFindings(findings, name, text, io.outPalette)}\n`);
  }
  const strict = input.has('strict') && findings.some(({ severity }) => severity === 'warning');
  return hasErrors(findings) || strict ? 1 : 0;
};
