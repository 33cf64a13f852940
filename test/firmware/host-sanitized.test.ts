import fc from 'fast-check';
import { expect, it } from 'vitest';
import { arbitraryHostInput, buildHostFuzz, hostCorpus, joinInputs, writeFuzzTable } from './support/host-fuzz.ts';
import { describeWith, runTool, temporaryFolder } from './support/tool.ts';

describeWith(['clang'], 'the host in C under the address and undefined behaviour sanitizers', () => {
  const folder = temporaryFolder();

  it('does nothing wrong and comes back, whatever a controller says', { timeout: 120_000 }, () => {
    const program = buildHostFuzz(folder, { fuzzer: false });
    const inputs = [...hostCorpus(), ...fc.sample(arbitraryHostInput, 400)];
    process.env['GW_TABLE'] = writeFuzzTable(folder);
    expect(runTool(program, [], { input: joinInputs(inputs) }).toString()).toBe(`${inputs.length} inputs\n`);
  });
});
