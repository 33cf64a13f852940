import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createServer, type Server, type Socket } from 'node:net';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { VirtualClock } from '../../src/base/clock.ts';
import { makeBoard } from '../../src/links/chip/rp2040-board.ts';
import { virtualRadio } from '../../src/links/virtual-radio.ts';
import { planProof } from '../../src/proof/plan.ts';
import { runProof } from '../../src/proof/run.ts';
import { emitInto, exampleSource, tableOf, type EmittedFolder } from './support/emitted.ts';
import { Rp2040Chip } from '../../src/links/chip/rp2040-chip.ts';
import { describeWith, runTool, temporaryFolder } from './support/tool.ts';

const emulator = 'qemu-system-arm';

const reset = [0x01, 0x03, 0x0c, 0x00];
/** Command Complete for a command without other results: Core Vol 4 Part E 7.7.14. */
const completed = (low: number, high: number): number[] => [0x04, 0x0e, 0x04, 0x01, low, high, 0x00];

function buildFor(port: string, from: EmittedFolder): string {
  const into = join(from.folder, `build-${port}`);
  runTool('cmake', ['-S', from.folder, '-B', into, `-DPORT=${port}`]);
  runTool('cmake', ['--build', into, '-j2']);
  return into;
}

describeWith(['cmake', 'arm-none-eabi-gcc'], 'the image for the RP2040, on an emulated chip', () => {
  const folder = temporaryFolder();
  let image: Uint8Array = new Uint8Array(0);
  beforeAll(() => {
    const into = buildFor('rp2040', emitInto(folder, exampleSource('wave-tank')));
    image = readFileSync(join(into, 'tank.bin'));
  }, 120_000);

  it('starts from its own second stage, whose checksum the boot ROM accepts', () => {
    // CRC-32 as the RP2040 data sheet 2.8.1.3.1 gives it: not reflected, start all ones, no final inversion.
    let sum = 0xffffffff;
    for (const octet of image.subarray(0, 252)) {
      sum ^= octet << 24;
      for (let i = 0; i < 8; i++) sum = sum & 0x80000000 ? (sum << 1) ^ 0x04c11db7 : sum << 1;
    }
    expect(new DataView(image.buffer, image.byteOffset).getUint32(252, true)).toBe(sum >>> 0);
  });

  it('resets the controller, tells its values and answers on its console', () => {
    const chip = new Rp2040Chip(image);
    chip.run(400);
    expect(chip.radio.slice(0, 4)).toEqual(reset);
    expect(String.fromCharCode(...chip.console)).toMatch(
      /^note 0 start [0-9a-f]{32}\r\ntell 0 battery-level 00 start\r\n/,
    );
    chip.console.length = 0;
    chip.type(Buffer.from('get paddle\r'));
    chip.run(20);
    expect(String.fromCharCode(...chip.console)).toMatch(/^value \d+ paddle 3200 0\.5 Hz\r\ndone get\r\n$/);
    chip.console.length = 0;
    chip.type(Buffer.from('set paddle 1.25\rlist\rscreen\r'));
    chip.run(800);
    expect(String.fromCharCode(...chip.console)).toMatch(
      /^tell \d+ paddle 7d00 console\r\ndone set\r\nvalue \d+ battery-level 00 0 %\r\n/,
    );
    expect(String.fromCharCode(...chip.console)).toMatch(/done screen\r\n$/);
  }, 60_000);

  it('goes on with the bring-up as the controller answers', () => {
    const chip = new Rp2040Chip(image);
    chip.run(20);
    chip.radio.length = 0;
    chip.fromController(completed(0x03, 0x0c));
    chip.run(20);
    expect(chip.radio[0]).toBe(1);
    expect(chip.radio.length).toBeGreaterThanOrEqual(4);
  }, 60_000);

  it('sleeps when there is nothing to do', () => {
    const chip = new Rp2040Chip(image);
    chip.run(1500);
    chip.instructions = 0;
    chip.run(1000);
    // The program looks at its sensors 20 times a second; an awake core would do some 60 million instructions.
    expect(chip.instructions).toBeLessThan(300_000);
  }, 60_000);
});

describeWith(['cmake', 'arm-none-eabi-gcc'], 'the image for the RP2040, proved over the virtual radio', () => {
  it(
    'holds what is written, refuses what is forbidden, and is safe when the link is lost',
    { timeout: 120_000 },
    async () => {
      const table = tableOf(exampleSource('wave-tank'));
      const clock = new VirtualClock();
      const made = await makeBoard(table, { clock });
      if (!made.ok) throw new Error(made.why);
      const link = virtualRadio(table, made.board, { clock, seed: 1 });
      const cases = planProof(table, { below: true, only: ['advertising', 'writes', 'refusals', 'link-loss', 'link'] });
      const { results } = await runProof(link, table, { cases });
      await link.close();
      await made.board.stop();
      const failed = results.filter(({ verdict }) => verdict === 'failed' || verdict === 'inconclusive');
      expect(failed.map(({ id }) => id)).toEqual([]);
      expect(results.filter(({ verdict }) => verdict === 'passed').length).toBeGreaterThan(100);
    },
  );
});

describeWith(['cmake', 'arm-none-eabi-gcc', emulator], 'the image for the micro:bit, on another emulator', () => {
  const folder = temporaryFolder();
  let server: Server | undefined;
  let chip: ReturnType<typeof spawn> | undefined;
  let image = '';
  beforeAll(() => {
    image = join(buildFor('microbit', emitInto(folder, exampleSource('wave-tank'))), 'tank.elf');
  }, 120_000);
  afterAll(() => {
    chip?.kill('SIGKILL');
    server?.close();
  });

  it('resets the controller and goes on as it answers', async () => {
    const path = join(folder, 'uart');
    const [socket, seen] = await new Promise<[Socket, Buffer]>((resolve, reject) => {
      server = createServer((link) => {
        link.once('data', (octets) => {
          resolve([link, octets]);
        });
      });
      server.listen(path, () => {
        const options = ['-M', 'microbit', '-kernel', image, '-display', 'none', '-monitor', 'none', '-nodefaults'];
        chip = spawn(emulator, [...options, '-serial', `unix:${path}`], { stdio: 'ignore' });
        chip.once('error', reject);
        chip.once('exit', (code) => {
          reject(new Error(`the emulator ended with ${code}`));
        });
      });
    });
    let octets = seen;
    const received = async (count: number): Promise<Buffer> => {
      while (octets.length < count) {
        octets = Buffer.concat([octets, await new Promise<Buffer>((resolve) => socket.once('data', resolve))]);
      }
      return octets;
    };
    expect([...(await received(4)).subarray(0, 4)]).toEqual(reset);
    octets = octets.subarray(4);
    socket.write(Buffer.from(completed(0x03, 0x0c)));
    expect((await received(4))[0]).toBe(1);
    socket.destroy();
  }, 60_000);
});
