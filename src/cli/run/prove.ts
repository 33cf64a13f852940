import { nearest } from '../../base/nearest.ts';
import { faultByName, faults } from '../../board/faults/registry.ts';
import type { Fault } from '../../board/model.ts';
import type { Case } from '../../proof/case.ts';
import { longSoak, planProof } from '../../proof/plan.ts';
import { makeReport, type Report } from '../../proof/report.ts';
import { reportHtml } from '../../proof/report-html.ts';
import { reportJson } from '../../proof/report-json.ts';
import { reportJunit } from '../../proof/report-junit.ts';
import { reportText } from '../../proof/report-text.ts';
import { isProved, runProof } from '../../proof/run.ts';
import { families } from '../../proof/verdict.ts';
import type { Table } from '../../table/model.ts';
import { openBench } from '../bench.ts';
import { chosenRig } from '../chosen-rig.ts';
import { CannotRun } from '../cannot-run.ts';
import { required, type Input, type Run } from '../command.ts';
import type { Io } from '../io.ts';
import { openCompiled } from '../open-contract.ts';
import { progressLine } from '../progress-line.ts';
import { writeReport } from '../write-report.ts';

export const run: Run = async (input, io) => {
  if (input.option('fault') === 'list') {
    list(
      faults.map(({ name, about }) => ({ name, about })),
      ({ name }) => name,
      input,
      io,
    );
    return 0;
  }
  const compiled = await openCompiled(required(input, 'FILE'), io, input.option('format'));
  if (compiled === undefined) return 2;
  const { table, path, name, text } = compiled;
  if (input.has('record') && !input.has('board')) {
    throw new CannotRun('--record needs a radio to record', 'add `--board virtual`');
  }
  const cases = chosenCases(input, table);
  if (input.has('list')) {
    list(
      cases.map(({ id, family, about }) => ({ id, family, about })),
      ({ id }) => id,
      input,
      io,
    );
    return 0;
  }
  const fault = chosenFault(input);
  const rig = await chosenRig(input, path, table);
  const seed = Number(input.option('seed') ?? '1');

  const bench = await openBench(table, { input, rig, seed, fault });
  const { link } = bench;
  const stop = { aborted: false };
  const quiet = io.onInterrupt(() => {
    stop.aborted = true;
  });
  const progress = progressLine(io);
  const result = await runProof(link, table, {
    cases,
    seed,
    signal: stop,
    onCase: async (one, { done, total }) => {
      progress.show(`${done} of ${total}  ${one.id}`);
      if (done % 25 === 0) await breathe();
    },
    breathe,
  });
  progress.clear();
  quiet();
  await bench.close();

  const report = makeReport(result, table, name, text);
  const page = input.option('report');
  if (page !== undefined) await writeReport(page, reportHtml(report));
  tell(report, input, io);
  if (stop.aborted) io.err(`stopped after ${result.results.length} of ${result.total} cases\n`);
  if (page !== undefined) io.err(`wrote ${page}\n`);
  return isProved(result) ? 0 : 1;
};

/** Lets an interrupt in: the proof itself never leaves a turn of the event loop. */
function breathe(): Promise<void> {
  return new Promise((resolve) => {
    setImmediate(resolve);
  });
}

/** What there is to choose from, each with what it is. */
function list<T extends { readonly about: string }>(
  things: readonly T[],
  name: (thing: T) => string,
  input: Input,
  io: Io,
): void {
  if (input.option('format') === 'json') {
    io.out(`${JSON.stringify(things, undefined, 2)}\n`);
    return;
  }
  const width = Math.min(40, Math.max(...things.map((thing) => name(thing).length)));
  for (const thing of things) io.out(`${name(thing).padEnd(width)}  ${thing.about}\n`);
}

function chosenCases(input: Input, table: Table): readonly Case[] {
  const only = input.option('only');
  const size = input.has('long') ? { soak: longSoak, packets: 20_000 } : {};
  const cases = planProof(table, { ...size, below: input.has('board'), only: only === undefined ? [] : [only] });
  if (only === undefined || cases.length > 0) return cases;
  const all = planProof(table);
  const near = nearest(only, [...families, ...all.map(({ id }) => id)]);
  throw new CannotRun(
    `no case is \`${only}\``,
    near === undefined
      ? `the families are: ${families.join(', ')}; --list names the cases`
      : `did you mean \`${near}\`?`,
  );
}

function chosenFault(input: Input): Fault | undefined {
  const name = input.option('fault');
  if (name === undefined) return undefined;
  const fault = faultByName(name);
  if (fault !== undefined) return fault;
  const near = nearest(
    name,
    faults.map((candidate) => candidate.name),
  );
  throw new CannotRun(
    `there is no fault \`${name}\``,
    near === undefined ? '`--fault list` names them' : `did you mean \`${near}\`?`,
  );
}

function tell(report: Report, input: Input, io: Io): void {
  switch (input.option('format')) {
    case 'json':
      io.out(`${JSON.stringify(reportJson(report), undefined, 2)}\n`);
      break;
    case 'junit':
      io.out(reportJunit(report));
      break;
    default:
      io.out(`${reportText(report, { palette: io.outPalette })}\n`);
  }
}
