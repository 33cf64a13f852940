import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { VirtualClock } from '../../src/base/clock.ts';
import { us } from '../../src/base/quantity.ts';
import { LockstepProcess } from '../../src/links/native/lockstep.ts';
import { makeNative, makeSanitized } from '../../src/links/native/native-board.ts';
import { virtualRadio } from '../../src/links/virtual-radio.ts';
import { planProof } from '../../src/proof/plan.ts';
import { runProof } from '../../src/proof/run.ts';
import { exampleSource, tableOf } from './support/emitted.ts';
import { describeWith } from './support/tool.ts';

const table = tableOf(exampleSource('wave-tank'));

describeWith(['gcc'], 'the emitted firmware as a process', () => {
  it(
    'does what its contract says, over the radio, with every memory access checked',
    { timeout: 120_000 },
    async () => {
      const clock = new VirtualClock();
      const made = await makeSanitized(table, { clock });
      if (!made.ok) throw new Error(made.why);
      const link = virtualRadio(table, made.board, { clock, seed: 1 });
      const { results } = await runProof(link, table, { cases: planProof(table, { below: true }) });
      await link.close();
      await made.board.stop();
      const told = (word: string): readonly string[] =>
        results.filter(({ verdict }) => verdict === word).map(({ id }) => id);
      expect([...told('failed'), ...told('inconclusive')]).toEqual([]);
      expect(told('passed').length).toBeGreaterThan(400);
    },
  );

  it('is silent, and nobody waits for it, once its process has ended', () => {
    const folder = mkdtempSync(join(tmpdir(), 'gattwright-test-'));
    const program = join(folder, 'ends');
    // It says one whole turn, and a second one only in part.
    writeFileSync(
      program,
      '#!/bin/sh\nprintf "\\000\\004\\000\\001\\000\\000\\000" >&4\ndd bs=1 count=1 <&3 >/dev/null 2>&1\nprintf "\\001" >&4\n',
      {
        mode: 0o755,
      },
    );
    const process = new LockstepProcess(program, folder);
    expect(process.begin()).toMatchObject({ wakeIn: 1 });
    expect(process.tick(us(1))).toMatchObject({ wakeIn: undefined });
    expect(process.tick(us(2))).toMatchObject({ wakeIn: undefined });
    process.stop();
    rmSync(folder, { recursive: true });
  });
});

it('says what to install where there is no compiler', async () => {
  const path = process.env['PATH'];
  process.env['PATH'] = '/nowhere';
  try {
    expect(await makeNative(table, { clock: new VirtualClock() })).toMatchObject({
      ok: false,
      remedy: expect.stringContaining('apt-get install gcc') as string,
    });
  } finally {
    process.env['PATH'] = path;
  }
});
