import { readFile, stat } from 'node:fs/promises';
import { parseDocument } from 'yaml';
import { hasErrors, type Finding } from '../../base/finding.ts';
import { findingJson } from '../../base/render-finding.ts';
import { lineIndex } from '../../base/text-range.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import { budgetJson } from '../../budget/budget-json.ts';
import { budgetText, textParts, type TextPart } from '../../budget/budget-text.ts';
import { budgetOf, defaultQuestion, type BudgetQuestion } from '../../budget/budget.ts';
import { readSupply, supplyPresets, type Supply } from '../../budget/energy/supply.ts';
import { scanPatterns, type ScanPattern } from '../../budget/found/scan.ts';
import { mostLoss, radioLimits } from '../../budget/limits/connection-limits.ts';
import { measureImages, type ImageSize } from '../../links/chip/measure-images.ts';
import { allFindings } from '../../table/catalogue.ts';
import { CannotRun } from '../cannot-run.ts';
import { required, type Input, type Run } from '../command.ts';
import { openCompiled, type CompiledContract } from '../open-contract.ts';
import { timeOption } from '../time-option.ts';

export const run: Run = async (input, io) => {
  const format = input.option('format');
  const errors: Finding[] = [];
  const compiled = await openCompiled(required(input, 'FILE'), io, format, (found) => errors.push(...found));
  if (compiled === undefined) {
    if (format !== 'json') io.err(sectionsOf(errors));
    return 1;
  }
  const question = await questionOf(input, compiled);
  const part = input.option('part') as TextPart | undefined;
  const budget = budgetOf(compiled.table, question);
  const measured = input.has('measure') ? measuredImages(compiled) : undefined;
  if (format === 'json') {
    const json = { file: compiled.name, findings: radioFindings(compiled), ...budgetJson(budget), measured };
    io.out(`${JSON.stringify(json, undefined, 2)}\n`);
    return 0;
  }
  const findings = radioFindings(compiled).map(({ message, source }) => `▲ ${message} (${source})\n`);
  io.out(findings.join('') + budgetText(budget, part === undefined ? textParts : [part]));
  if (measured !== undefined) io.out(measuredText(measured));
  return hasErrors(compiled.findings) ? 1 : 0;
};

/** @throws CannotRun when no image can be built here */
function measuredImages({ table }: CompiledContract): readonly ImageSize[] {
  const measured = measureImages(table);
  if (!measured.ok) throw new CannotRun(measured.why, measured.remedy);
  return measured.images;
}

function measuredText(images: readonly ImageSize[]): string {
  const lines = images.map(
    ({ port, toolchain, flash, ram }) => `  ${port}: flash ${flash} octets, RAM ${ram} octets; ${toolchain}\n`,
  );
  return `\nMeasured here: whole images of this contract’s firmware\n${lines.join('')}`;
}

/** The standard's sections behind parameters of the radio that no controller takes. */
function sectionsOf(errors: readonly Finding[]): string {
  const keys = Object.keys(radioLimits) as (keyof typeof radioLimits)[];
  return keys
    .filter((key) => errors.some(({ code, message }) => isOfBounds.has(code) && message.startsWith(`\`${key}\``)))
    .map((key) => `\`${key}\`: ${radioLimits[key].source}\n`)
    .join('');
}

const isOfBounds: ReadonlySet<string> = new Set(['out-of-bounds', 'not-in-steps']);

/** What a person gives stays as given; all else is the budget's own. @throws CannotRun */
async function questionOf(input: Input, { table, contract }: CompiledContract): Promise<BudgetQuestion> {
  const base = defaultQuestion(table, contract.board.nameTemplate);
  const scan = scanOf(input.option('scan'));
  const boards = wholeOption(input, 'boards', 1, 2000);
  const encrypted = input.option('encrypted');
  const time = input.option('room-time');
  return {
    ...base,
    packetErrorRate: lossOf(input.option('loss')),
    encrypted: encrypted === undefined ? base.encrypted : encrypted === 'yes',
    mostPairs: wholeOption(input, 'pairs', 1, 10_000),
    supply: await supplyOf(input.option('supply')),
    patterns: scan === undefined || scanPatterns.includes(scan) ? base.patterns : [scan, ...base.patterns],
    room: {
      ...base.room,
      advertising: boards ?? base.room.advertising,
      connected: wholeOption(input, 'connected', 0, 2000) ?? boards ?? base.room.connected,
      scan: scan ?? base.room.scan,
      time: time === undefined ? undefined : roomTimeOf(time),
    },
    seed: wholeOption(input, 'seed', 0, 2 ** 31) ?? base.seed,
  };
}

function roomTimeOf(text: string): Microseconds {
  const time = timeOption('room-time', text);
  if (time <= 0 || time > 24 * 3_600_000_000) {
    throw new CannotRun(`--room-time is ${text}`, 'give 1 s to 24 h');
  }
  return time;
}

function wholeOption(input: Input, name: string, least: number, most: number): number | undefined {
  const text = input.option(name);
  if (text === undefined) return undefined;
  const value = Number(text);
  if (!Number.isInteger(value) || value < least || value > most) {
    throw new CannotRun(`--${name} is ${text}, but may be ${least} to ${most}`, 'give a whole number');
  }
  return value;
}

/** `0.1` or `10%`. */
function lossOf(text: string | undefined): number {
  if (text === undefined) return 0;
  const match = /^(\d+(?:\.\d+)?)(\s*%)?$/.exec(text.trim());
  const value = match === null ? Number.NaN : Number(match[1]) / (match[2] === undefined ? 1 : 100);
  if (!(value >= 0 && value <= mostLoss)) {
    throw new CannotRun(
      `--loss is ${text}, but may be 0 to ${mostLoss}`,
      'give the share of packets that are lost: 0.1 or 10% for one in ten',
    );
  }
  return value;
}

/** The name of a pattern, or `WINDOW/INTERVAL` with units. */
function scanOf(text: string | undefined): ScanPattern | undefined {
  if (text === undefined) return undefined;
  const known = scanPatterns.find(({ name }) => name === text);
  if (known !== undefined) return known;
  const names = scanPatterns.map(({ name }) => name).join(', ');
  const [first = '', second = '', more] = text.split('/');
  if (second === '' || more !== undefined) {
    throw new CannotRun(`--scan is ${text}, which is no pattern`, `give ${names}, or WINDOW/INTERVAL: 30ms/60ms`);
  }
  const window = timeOption('scan', first);
  const interval = timeOption('scan', second);
  // Core Vol 4 Part E 7.8.10 and 7.8.64: 2.5 ms to 40.959375 s, and the window within the interval.
  if (window < 2_500 || interval > 40_959_375 || window > interval) {
    throw new CannotRun(
      `--scan is ${text}`,
      'a window is at least 2.5 ms and no longer than its interval of at most 40.96 s',
    );
  }
  return { name: `${first} of ${second}`, window: us(window), interval: us(interval), source: 'as given' };
}

/** The name of a preset, or a file of figures. */
async function supplyOf(where: string | undefined): Promise<Supply> {
  const [first] = supplyPresets;
  const preset = where === undefined ? first : supplyPresets.find(({ name }) => name === where);
  if (preset !== undefined) return preset.supply;
  const path = where ?? '';
  const text = await readSmall(path);
  const document = parseDocument(text, { prettyErrors: true });
  const broken = document.errors[0];
  if (broken !== undefined) throw new CannotRun(`${path}: ${broken.message.split('\n')[0] ?? ''}`);
  const read = readSupply(document.toJS({ maxAliasCount: 0 }));
  if (!read.ok) throw new CannotRun(`${path}: ${read.message}`, read.hint);
  return read.supply;
}

/** A file of figures is small; anything larger is another file. */
async function readSmall(path: string): Promise<string> {
  const names = supplyPresets.map(({ name }) => `\`${name}\``).join(', ');
  try {
    const { size } = await stat(path);
    if (size > 65_536) throw new CannotRun(`${path} has ${size} octets, too many for a file of figures`);
    return await readFile(path, 'utf8');
  } catch (error) {
    if (error instanceof CannotRun) throw error;
    throw new CannotRun(`${path} cannot be read`, `--supply takes a YAML or JSON file, or one of ${names}`);
  }
}

/** What the contract's checks say of radio parameters, each with the standard's section. */
function radioFindings({ findings, text, contract }: CompiledContract) {
  const { start, end } = contract.radio.where.self;
  const lines = lineIndex(text);
  return findings
    .filter(({ at, code }) => isOfRates.has(code) || (end > start && at.start >= start && at.end <= end))
    .map((finding) => ({
      ...findingJson(finding, lines),
      message: finding.message,
      source: allFindings.find(({ code }) => code === finding.code)?.source ?? '',
    }));
}

/** Findings about rates stand at the values, not at the radio's parameters. */
const isOfRates: ReadonlySet<string> = new Set([
  'rate-beyond-air',
  'rate-beyond-phones',
  'period-below-interval',
  'period-below-bound',
  'notify-without-rate',
  'notification-cut',
  'notification-cut-at-default',
  'notification-never-fits',
  'packet-longer-than-interval',
]);
