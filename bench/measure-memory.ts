// `npx tsx bench/measure-memory.ts DATE`: builds firmware images of several contracts, reads their sizes, fits the memory
// model and writes src/budget/memory/measured.ts. Needs arm-none-eabi-gcc and cmake; DATE is the day, 2026-01-31.
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bug } from '../src/base/bug.ts';
import { contentOf } from '../src/budget/memory/memory.ts';
import type { MeasuredTarget, Octets, TableContent } from '../src/budget/memory/model.ts';
import { check } from '../src/table/check.ts';
import { bigContract } from './big-contract.ts';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const [date = ''] = process.argv.slice(2);
bug(/^\d{4}-\d\d-\d\d$/.test(date), 'give the day of the measurement: 2026-01-31');

const ports = [
  { port: 'rp2040', name: 'rp2040, Cortex-M0+, -Os, with console' },
  { port: 'microbit', name: 'microbit, Cortex-M0, -Os, without console' },
] as const;

/** One image: what its table holds, and its octets. */
type Image = { readonly content: TableContent; readonly size: Octets };

const folder = mkdtempSync(join(tmpdir(), 'gattwright-memory-'));
const contracts = [
  ...readdirSync(join(root, 'examples')).map((name) => ({
    name,
    text: readFileSync(join(root, 'examples', name, 'contract.yaml'), 'utf8'),
  })),
  ...[1, 4, 12, 30, 60].map((count) => ({ name: `big-${count}`, text: bigContract(count) })),
  // The same with another MTU, which is mixed up with the rest otherwise.
  ...[23, 247].map((mtu) => ({ name: `mtu-${mtu}`, text: bigContract(12).replace('mtu: 185', `mtu: ${mtu}`) })),
];
for (const { name, text } of contracts) {
  mkdirSync(join(folder, name));
  writeFileSync(join(folder, name, 'contract.yaml'), text);
  call('npx', ['tsx', 'src/cli/main.ts', 'emit', 'firmware-c', join(folder, name), '--out', join(folder, name, 'c')]);
}

const version = call('arm-none-eabi-gcc', ['--version']).split('\n')[0] ?? '';
const toolchain = `arm-none-eabi-gcc ${/\d+\.\d+\.\d+/.exec(version)?.[0] ?? ''}`;
const targets = ports.map(({ port, name }): MeasuredTarget => {
  const images = contracts.map(({ name: contract, text }) => imageOf(contract, text, port));
  const fitted = fit(images);
  const bare = port === 'rp2040' ? withoutConsole(images) : undefined;
  const console_ = bare ?? { flash: 0, ram: 0 };
  const missed = images.map((image, i) => {
    const left = fit(images.filter((_, j) => j !== i));
    return { flash: miss(left, image, 'flash'), ram: miss(left, image, 'ram') };
  });
  return {
    name,
    toolchain,
    date,
    engine: { flash: Math.round(fitted.base.flash - console_.flash), ram: Math.round(fitted.base.ram - console_.ram) },
    console: console_,
    per: fitted.per,
    images: images.length,
    error: {
      flash: upwards(Math.max(...missed.map(({ flash }) => flash))),
      ram: upwards(Math.max(...missed.map(({ ram }) => ram))),
    },
  };
});
writeFileSync(
  join(root, 'src', 'budget', 'memory', 'measured.ts'),
  `import type { MeasuredTarget } from './model.ts';

/** Every target that has been measured; \`bench/measure-memory.ts\` writes this file. */
export const measuredTargets: readonly MeasuredTarget[] = ${JSON.stringify(targets, undefined, 2)};
`,
);
call('npx', ['prettier', '--write', 'src/budget/memory/measured.ts']);
rmSync(folder, { recursive: true });
for (const { name, engine, console: shown, error } of targets) console.log(name, engine, shown, error);

function imageOf(contract: string, text: string, port: string, flags = ''): Image {
  const { value } = check(text);
  bug(value !== undefined, `${contract} has errors`);
  const build = join(folder, contract, `${port}${flags === '' ? '' : '-bare'}`);
  call('cmake', ['-S', join(folder, contract, 'c'), '-B', build, `-DPORT=${port}`, `-DCMAKE_C_FLAGS=${flags}`]);
  call('cmake', ['--build', build]);
  const image = readdirSync(build).find((name) => name.endsWith('.elf'));
  bug(image !== undefined, `${contract} made no image`);
  const [text_ = 0, data = 0, bss = 0] = (call('arm-none-eabi-size', [join(build, image)]).split('\n')[1] ?? '')
    .trim()
    .split(/\s+/)
    .map(Number);
  return { content: contentOf(value.table), size: { flash: text_ + data, ram: data + bss } };
}

/** What the demo’s image saves without its console and without the log of events. */
function withoutConsole(images: readonly Image[]): Octets {
  const at = contracts.findIndex(({ name }) => name === 'wave-tank');
  const demo = contracts[at];
  const full = images[at];
  bug(demo !== undefined && full !== undefined, 'the demo is among the contracts');
  const bare = imageOf('wave-tank', demo.text, 'rp2040', '-DTANK_CONSOLE=0 -DGW_EVENT_OCTETS=0').size;
  return { flash: full.size.flash - bare.flash, ram: full.size.ram - bare.ram };
}

type Fitted = { readonly base: Octets; readonly per: MeasuredTarget['per'] };

/** What flash and RAM are taken to grow with. */
function fit(images: readonly Image[]): Fitted {
  const flash = leastSquares(images, 'flash', ['rows', 'constantOctets', 'values', 'valueOctets', 'drives']);
  const ram = leastSquares(images, 'ram', ['values', 'valueOctets', 'cccds', 'mtuOctets']);
  const keys = Object.keys(images[0]?.content ?? {}) as (keyof TableContent)[];
  return {
    base: { flash: flash.base, ram: ram.base },
    per: Object.fromEntries(
      keys.map((key) => [key, { flash: three(flash.per[key] ?? 0), ram: three(ram.per[key] ?? 0) }]),
    ) as MeasuredTarget['per'],
  };
}

/** Ordinary least squares; a factor that comes out negative is left out and the rest fitted again. */
function leastSquares(
  images: readonly Image[],
  of: keyof Octets,
  keys: readonly (keyof TableContent)[],
): { readonly base: number; readonly per: Partial<Record<keyof TableContent, number>> } {
  const rows = images.map(({ content }) => [1, ...keys.map((key) => content[key])]);
  const solution = solve(
    rows[0]?.map((_, i) => rows[0]?.map((__, j) => sum(rows.map((row) => (row[i] ?? 0) * (row[j] ?? 0)))) ?? []) ?? [],
    rows[0]?.map((_, i) => sum(rows.map((row, n) => (row[i] ?? 0) * (images[n]?.size[of] ?? 0)))) ?? [],
  );
  const worst = keys.reduce((a, _, i) => ((solution[i + 1] ?? 0) < (solution[a + 1] ?? 0) ? i : a), 0);
  if (keys.length > 0 && (solution[worst + 1] ?? 0) < 0) {
    return leastSquares(
      images,
      of,
      keys.filter((_, i) => i !== worst),
    );
  }
  return { base: solution[0] ?? 0, per: Object.fromEntries(keys.map((key, i) => [key, solution[i + 1] ?? 0])) };
}

/** Gaussian elimination with pivots. */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): readonly number[] {
  const a = matrix.map((row, i) => [...row, right[i] ?? 0]);
  for (let i = 0; i < a.length; i++) {
    const pivot = a.reduce(
      (best, row, j) => (j >= i && Math.abs(row[i] ?? 0) > Math.abs(a[best]?.[i] ?? 0) ? j : best),
      i,
    );
    [a[i], a[pivot]] = [a[pivot] ?? [], a[i] ?? []];
    for (let j = 0; j < a.length; j++) {
      if (j === i) continue;
      const factor = (a[j]?.[i] ?? 0) / (a[i]?.[i] ?? 1);
      a[j] = (a[j] ?? []).map((value, k) => value - factor * (a[i]?.[k] ?? 0));
    }
  }
  return a.map((row, i) => (row.at(-1) ?? 0) / (row[i] ?? 1));
}

function miss({ base, per }: Fitted, { content, size }: Image, of: keyof Octets): number {
  const keys = Object.keys(content) as (keyof TableContent)[];
  const reckoned = base[of] + sum(keys.map((key) => per[key][of] * content[key]));
  return Math.abs(reckoned - size[of]) / size[of];
}

function sum(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0);
}

function three(value: number): number {
  return Number(value.toPrecision(3));
}

/** A share in thousandths, rounded up. */
function upwards(share: number): number {
  return Math.ceil(share * 1000) / 1000;
}

function call(program: string, args: readonly string[]): string {
  const { status, stdout, stderr } = spawnSync(program, args, { cwd: root, encoding: 'utf8' });
  bug(status === 0, `${program} ${args.join(' ')}\n${stderr}${stdout}`);
  return stdout;
}
