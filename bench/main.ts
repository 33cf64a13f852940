import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { cpus, tmpdir, totalmem } from 'node:os';
import { dirname, join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import { parseDocument } from 'yaml';
import { bug } from '../src/base/bug.ts';
import { VirtualClock } from '../src/base/clock.ts';
import { us } from '../src/base/quantity.ts';
import { attServer, defaultServerOptions, startServer } from '../src/att/server.ts';
import { encodePdu } from '../src/att/pdu.ts';
import { VirtualBoard } from '../src/board/virtual-board.ts';
import type { Contract } from '../src/contract/model.ts';
import { inMemoryLink } from '../src/links/in-memory.ts';
import { loadRig } from '../src/links/load-rig.ts';
import { runProof } from '../src/proof/run.ts';
import { check } from '../src/table/check.ts';
import { compileTable } from '../src/table/compile.ts';
import type { Table } from '../src/table/model.ts';
import { bigContract } from './big-contract.ts';
import { benchBudget, benchRoom } from './budget.ts';
import { hostileTexts } from './hostile-texts.ts';
import { digits, showTiming, summary, time, timeAsync, type Timing } from './measure.ts';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');
const demoPath = join(root, 'examples', 'wave-tank', 'contract.yaml');
const demo = readFileSync(demoPath, 'utf8');

console.log(
  `Node ${process.versions.node}, ${cpus().length} cores (${cpus()[0]?.model ?? 'unknown'}), ${digits(totalmem() / 2 ** 30)} GiB`,
);
console.log('Every ratio compares two figures of this run. Times depend on the machine and on what else it does.');

benchCheck();
benchCompile();
benchServer();
await benchProof();
benchStart();
heading('Budget');
benchBudget(tableOf(demo));
heading('Room of boards, packet by packet');
benchRoom();
benchHostile();

function heading(text: string): void {
  console.log(`\n${text}`);
}

function row(name: string, timing: Timing, beside = ''): void {
  console.log(`  ${name.padEnd(46)} ${showTiming(timing)}${beside === '' ? '' : `; ${beside}`}`);
}

function ratio(a: Timing, b: Timing): string {
  return `${digits(a.median / b.median)} ×`;
}

function benchCheck(): void {
  heading('Check: text to contract, table and findings (warm)');
  const text = bigContract(200);
  const parse = time(30, () => {
    parseDocument(text);
  });
  const big = time(30, () => {
    check(text);
  });
  const small = time(60, () => {
    check(demo);
  });
  row('YAML library alone, 200 characteristics', parse);
  row('check, 200 characteristics', big, `${ratio(big, parse)} the YAML library alone; aim under 50 ms`);
  row('check, wave tank', small, `${ratio(big, small)} for the larger one`);
}

function contractOf(text: string): Contract {
  const { value } = check(text);
  bug(value !== undefined, 'the text for timing has no errors');
  return value.contract;
}

function tableOf(text: string): Table {
  const { value } = compileTable(contractOf(text));
  bug(value !== undefined, 'the contract for timing compiles');
  return value;
}

function benchCompile(): void {
  heading('Compile: contract to table');
  const [small, large] = [contractOf(bigContract(50)), contractOf(bigContract(200))];
  const a = time(60, () => {
    compileTable(small);
  });
  const b = time(60, () => {
    compileTable(large);
  });
  row('50 characteristics', a);
  row('200 characteristics', b, `${ratio(b, a)} for 4 × the characteristics`);
}

function benchServer(): void {
  heading('ATT server: requests through the reducer');
  const rate = (table: Table, name: string): Timing => {
    const options = defaultServerOptions(table);
    let { state } = attServer(
      table,
      options,
      startServer(table),
      { kind: 'connected', connection: 1, peer: 'bench' },
      us(0),
    );
    const readable = table.values.filter(({ access }) => access.includes('read'));
    const requests = readable.map(({ handle }) => encodePdu({ kind: 'read-request', handle }));
    const requestsPerRound = 5000;
    const timing = time(15, () => {
      for (let i = 0; i < requestsPerRound; i++) {
        const pdu = requests[i % requests.length];
        if (pdu === undefined) continue;
        ({ state } = attServer(table, options, state, { kind: 'received', connection: 1, pdu }, us(i)));
      }
    });
    row(name, timing, `${digits(requestsPerRound / timing.median)} thousand Read Requests a second`);
    return timing;
  };
  const small = rate(tableOf(demo), '5,000 requests, wave tank');
  const large = rate(tableOf(bigContract(200)), '5,000 requests, 200 characteristics');
  console.log(`  the larger table takes ${ratio(large, small)} as long`);
}

async function benchProof(): Promise<void> {
  heading('Proof of the wave tank, all cases, on the in-memory link');
  const table = tableOf(demo);
  const rig = await loadRig(demoPath, table);
  bug(rig.ok, 'the demo has a rig');
  const prove = async (): Promise<string> => {
    const clock = new VirtualClock();
    const board = new VirtualBoard(table, { clock, rig: rig.value.rig, seed: 1 });
    const { counts, total } = await runProof(inMemoryLink(board), table);
    board.stop();
    return `${total} cases, ${counts.failed} failed, ${digits(clock.now() / 1e6)} s of virtual time`;
  };
  const start = performance.now();
  const told = await prove();
  const cold = performance.now() - start;
  const warm = await timeAsync(3, async () => {
    await prove();
  });
  row('first run in this process', summary([cold]), told);
  row('warm', warm, 'aim under 2 s');
}

function benchStart(): void {
  heading('Start of the command line, whole process');
  const program = join(root, 'bin', 'gattwright.mjs');
  const once = (args: readonly string[]): number => {
    const start = performance.now();
    spawnSync(process.execPath, args, { stdio: 'ignore' });
    return performance.now() - start;
  };
  const bare: number[] = [];
  const checked: number[] = [];
  // Turn and turn about, so that both meet the same machine.
  for (let i = 0; i < 15; i++) {
    bare.push(once(['-e', '0']));
    checked.push(once([program, 'check', demoPath]));
  }
  const [a, b] = [summary(bare), summary(checked)];
  row('node -e 0', a);
  row('gattwright check, wave tank', b, `${ratio(b, a)} bare Node; aim under 2.5 ×`);
}

function benchHostile(): void {
  heading('Hostile texts, each in a process of its own (aim: a finding within 1 s and 200 MB)');
  const folder = mkdtempSync(join(tmpdir(), 'gattwright-bench-'));
  const child = join(dirname(fileURLToPath(import.meta.url)), 'hostile-child.js');
  for (const { name, bytes } of hostileTexts()) {
    const path = join(folder, 'contract.yaml');
    writeFileSync(path, bytes);
    const { stdout, status } = spawnSync(process.execPath, [child, path], { encoding: 'utf8' });
    if (status !== 0) {
      console.log(`  ${name.padEnd(46)} ended with ${String(status)}`);
      continue;
    }
    const told = JSON.parse(stdout) as { elapsed: number; maxRssMb: number; findings: number; first?: string };
    console.log(
      `  ${name.padEnd(46)} ${digits(told.elapsed)} ms, ${digits(told.maxRssMb)} MB, ${told.findings} findings, first ${told.first ?? 'none'}`,
    );
  }
  rmSync(folder, { recursive: true });
}
