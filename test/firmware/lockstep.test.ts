import { join } from 'node:path';
import { beforeAll, expect, it } from 'vitest';
import { emitInto, exampleSource, includes } from './support/emitted.ts';
import { describeWith, runTool, strictFlags, temporaryFolder } from './support/tool.ts';

type Frame = { readonly kind: number; readonly octets: Buffer };

const tick = 0;
const radio = 1;
const console_ = 2;

/** To the board: kind, time (8 octets, microseconds), length (2), octets. */
function frame(kind: number, now: number, octets: Uint8Array = Buffer.alloc(0)): Buffer {
  const head = Buffer.alloc(11);
  head[0] = kind;
  head.writeBigUInt64LE(BigInt(now), 1);
  head.writeUInt16LE(octets.length, 9);
  return Buffer.concat([head, octets]);
}

/** From the board: kind, length (2), octets. */
function framesOf(answer: Buffer): Frame[] {
  const frames: Frame[] = [];
  for (let at = 0; at < answer.length;) {
    const length = answer.readUInt16LE(at + 1);
    frames.push({ kind: answer[at] ?? -1, octets: answer.subarray(at + 3, at + 3 + length) });
    at += 3 + length;
  }
  return frames;
}

describeWith(['gcc'], 'a board in lock step', () => {
  const folder = temporaryFolder();
  const binary = join(folder, 'tank');
  beforeAll(() => {
    const { sources } = emitInto(folder, exampleSource('wave-tank'));
    const ports = ['machine.c', 'stream.c', 'lockstep.c'].map((name) => `ports/posix/${name}`);
    const files = [...sources, ...ports].map((path) => join(folder, path));
    runTool('gcc', [...strictFlags, '-O1', ...includes(folder, 'posix'), ...files, '-o', binary]);
  }, 120_000);
  const run = (...frames: readonly Buffer[]): Frame[] =>
    framesOf(runTool(binary, ['--lockstep', 'stdio'], { input: Buffer.concat(frames) }));
  const said = (frames: readonly Frame[], kind: number): Buffer =>
    Buffer.concat(frames.filter((one) => one.kind === kind).map(({ octets }) => octets));

  it('lives in the time it is told, and asks to be woken', () => {
    const frames = run(
      frame(console_, 1_234_000, Buffer.from('time\n')),
      frame(tick, 3_600_000_000),
      frame(console_, 4_295_967_296, Buffer.from('time\n')),
    );
    const lines = said(frames, console_).toString().split('\r\n');
    expect(lines.filter((line) => line.startsWith('time '))).toEqual(['time 1234', 'time 4295967']);
    const idle = frames.filter(({ kind }) => kind === tick);
    expect(idle).toHaveLength(4);
    for (const { octets } of idle) expect(octets.readUInt32LE(0)).toBeLessThanOrEqual(50_000);
  });

  it('says the same each time it is told the same', () => {
    const told = [
      frame(radio, 5000, Buffer.from([4, 14, 4, 1, 3, 12, 0])),
      frame(console_, 6000, Buffer.from('list\nscreen\n')),
    ];
    expect(run(...told)).toEqual(run(...told));
    // HCI Reset, and what follows once the controller has answered it.
    expect([...said(run(...told), radio).subarray(0, 5)]).toEqual([1, 3, 12, 0, 1]);
  });
});
