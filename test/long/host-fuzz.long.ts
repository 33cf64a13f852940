import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { buildHostFuzz, hostCorpus, writeFuzzTable } from '../firmware/support/host-fuzz.ts';
import { describeWith, runTool, temporaryFolder } from '../firmware/support/tool.ts';

describeWith(['clang'], 'the host in C and a fuzzer that looks where it has been', () => {
  const folder = temporaryFolder();

  it('finds nothing in a minute', () => {
    const program = buildHostFuzz(folder, { fuzzer: true });
    const corpus = join(folder, 'corpus');
    mkdirSync(corpus);
    hostCorpus().forEach((input, number) => {
      writeFileSync(join(corpus, `${number}`), input);
    });
    process.env['GW_TABLE'] = writeFuzzTable(folder);
    expect(() => runTool(program, ['-max_total_time=60', '-max_len=2000', corpus])).not.toThrow();
  });
});
