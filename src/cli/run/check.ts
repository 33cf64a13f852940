import { hasErrors } from '../../base/finding.ts';
import { countFindings, findingJson, renderFindings } from '../../base/render-finding.ts';
import { lineIndex } from '../../base/text-range.ts';
import { check } from '../../table/check.ts';
import { required, type Run } from '../command.ts';
import { openContract } from '../open-contract.ts';

export const run: Run = async (input, io) => {
  const { name, bytes, text } = await openContract(required(input, 'FILE'));
  const { findings } = check(bytes);
  if (input.option('format') === 'json') {
    const lines = lineIndex(text);
    const result = {
      file: name,
      summary: countFindings(findings),
      findings: findings.map((finding) => findingJson(finding, lines)),
    };
    io.out(`${JSON.stringify(result, undefined, 2)}\n`);
  } else {
    io.out(`${renderFindings(findings, name, text, io.outPalette)}\n`);
  }
  const strict = input.has('strict') && findings.some(({ severity }) => severity === 'warning');
  return hasErrors(findings) || strict ? 1 : 0;
};
