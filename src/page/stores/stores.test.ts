import { readFileSync } from 'node:fs';
import { beforeEach, describe, expect, it } from 'vitest';
import { check, type Compiled } from '../../table/check.ts';
import { planOf } from '../worker/board-plan.ts';
import type { Batch, FromWorker, ToWorker } from '../worker/protocol.ts';
import { board, connect, isOlder, link, mtuToAsk, restartBoard, startRefused } from './board.ts';
import { checked, contractText, editText, isChecked, lastGood } from './contract.ts';
import { applyFix, withFix } from './fixes.ts';
import { provideWorker } from './port.ts';
import { proofRun, startProof, stopProof } from './proof.ts';
import { read, subscribeToAll, values, write } from './values.ts';

const text = readFileSync(new URL('../../../examples/wave-tank/contract.yaml', import.meta.url), 'utf8');
const compiled = check(text).value as Compiled;
const indexOf = (id: string): number => compiled.table.values.find((value) => value.id === id)!.index;

/** What the stores told the workers, and a way to answer in their place. */
let told: ToWorker[];
let answer: (message: FromWorker) => void;

beforeEach(() => {
  told = [];
  for (const name of ['bench', 'prover'] as const) {
    provideWorker(name, () => ({
      post: (message) => told.push(message),
      onMessage: (listener) => {
        answer = listener;
      },
    }));
  }
});

const nothing: Batch = {
  boardMs: 0,
  truth: [],
  air: [],
  subscriptions: [],
  pdus: [],
  pduCounts: { central: 0, board: 0 },
  consoleLines: [],
  rig: undefined,
};
const last = <K extends ToWorker['kind']>(kind: K): Extract<ToWorker, { kind: K }> =>
  told.findLast((message): message is Extract<ToWorker, { kind: K }> => message.kind === kind)!;

function startBoard(): void {
  restartBoard();
  answer({
    kind: 'board-started',
    plan: planOf(compiled),
    text: contractText.value,
    faults: [],
    rig: 'wave-tank',
    made: 'model',
    securable: true,
  });
}

describe('the contract', () => {
  it('is not checked before somebody looks at what was found', () => {
    editText('contract: 1 # unseen');
    expect(told).toEqual([]);
    checked.subscribe(() => undefined);
    expect(last('check').text).toBe('contract: 1 # unseen');
  });

  it('has its text checked, and knows what the answer is about', () => {
    editText('contract: 1 # a');
    const first = last('check');
    editText('contract: 1 # b');
    const second = last('check');
    answer({ kind: 'checked', version: first.version, compiled, findings: [] });
    expect(checked.value?.text).toBe('contract: 1 # a');
    expect(isChecked.value).toBe(false);
    answer({ kind: 'checked', version: second.version, compiled: undefined, findings: [] });
    expect(checked.value?.text).toBe('contract: 1 # b');
    expect(isChecked.value).toBe(true);
    // Drawn on while the text has errors.
    expect(lastGood.value).toBe(compiled);
  });

  it('applies all edits of a fix where they belong', () => {
    const fix = {
      title: 'exchange both',
      edits: [
        { at: { start: 0, end: 3 }, text: 'four' },
        { at: { start: 4, end: 4 }, text: '<' },
        { at: { start: 8, end: 9 }, text: '' },
      ],
    };
    expect(withFix('one two three', fix)).toBe('four <two hree');
  });

  it('applies no fix to a text that was changed since', () => {
    const fix = { title: 'shorten', edits: [{ at: { start: 0, end: 1 }, text: '' }] };
    editText('abc');
    answer({ kind: 'checked', version: last('check').version, compiled: undefined, findings: [] });
    editText('abcd');
    applyFix(fix);
    expect(contractText.value).toBe('abcd');
    answer({ kind: 'checked', version: last('check').version, compiled: undefined, findings: [] });
    applyFix(fix);
    expect(contractText.value).toBe('bcd');
  });
});

describe('the board', () => {
  it('is older than a text that was edited, and restarts only when asked', () => {
    editText(text);
    startBoard();
    expect(isOlder.value).toBe(false);
    const before = told.length;
    editText(`${text}# more\n`);
    expect(isOlder.value).toBe(true);
    expect(told.slice(before).map(({ kind }) => kind)).toEqual(['check']);
    restartBoard();
    expect(last('start-board').text).toBe(contractText.value);
  });

  it('runs on when a text with errors is refused', () => {
    editText(text);
    startBoard();
    const running = board.value;
    editText('contract: 7');
    restartBoard();
    answer({ kind: 'board-refused', findings: check('contract: 7').findings });
    expect(board.value).toBe(running);
    expect(startRefused.value?.length).toBeGreaterThan(0);
    // Another text was not refused yet.
    editText('contract: 8');
    expect(startRefused.value).toBeUndefined();
  });

  it('connects again after a restart where there was a connection, with the MTU of the contract', () => {
    editText(text);
    startBoard();
    answer({ kind: 'link', state: { kind: 'connected', mtu: 185, encrypted: false, hash: 'same' } });
    startBoard();
    expect(link.value.kind).toBe('silent');
    answer({ kind: 'link', state: { kind: 'advertising' } });
    expect(last('connect')).toEqual({ kind: 'connect', mtu: 185 });
    expect(mtuToAsk.value).toBe(185);
    const { length } = told;
    answer({ kind: 'link', state: { kind: 'advertising' } });
    expect(told.length).toBe(length);
    connect();
    expect(told.length).toBe(length + 1);
  });
});

describe('values', () => {
  beforeEach(() => {
    editText(text);
    startBoard();
  });

  it('starts anew with each board', () => {
    const before = values.value;
    startBoard();
    expect(values.value).not.toBe(before);
    expect(values.value.map(({ definition }) => definition.id)).toEqual(compiled.table.values.map(({ id }) => id));
  });

  it('shows truth and air apart, and keeps every sample for the chart', async () => {
    const level = values.value[indexOf('level')]!;
    const sample = (ms: number, raw: number) => ({ index: indexOf('level'), ms, raw: Uint8Array.of(raw, 0) });
    const truth = [1, 2, 3].map((n) => ({ ...sample(n, n), cause: 'rig' as const }));
    const done = read(indexOf('level'));
    answer({ kind: 'happened', batch: { ...nothing, truth, air: [{ ...sample(9, 2), how: 'read' }] } });
    expect(level.act.value).toMatchObject({ kind: 'read', pending: true });
    answer({ kind: 'answer', ask: last('read').ask, failure: undefined });
    expect(await done).toBeUndefined();
    expect(level.act.value).toMatchObject({ kind: 'read', pending: false, failure: undefined });
    expect(level.truth.value?.ms).toBe(3);
    expect(level.air.value?.how).toBe('read');
    // One step of the level is 0.1 mm.
    const { length } = level.traces!.truth;
    expect(Array.from({ length }, (_, i) => level.traces!.truth.valueAt(i))).toEqual(
      [0.0001, 0.0002, 0.0003].map((x) => expect.closeTo(x, 12) as number),
    );
    expect(level.traces!.air.length).toBe(1);
  });

  it('keeps the failure of an act beside the old values', async () => {
    const paddle = values.value[indexOf('paddle')]!;
    const done = write(indexOf('paddle'), Uint8Array.of(0xff, 0xff));
    const failure = { kind: 'att-error', code: 0xff, handle: 5 } as const;
    answer({ kind: 'answer', ask: last('write').ask, failure });
    expect(await done).toEqual(failure);
    expect(paddle.act.value).toMatchObject({ kind: 'write', failure, pending: false });
    expect(paddle.air.value).toBeUndefined();
  });

  it('subscribes to what is published and not subscribed yet, one after the other', async () => {
    const asked: number[] = [];
    const done = subscribeToAll();
    for (let ask = last('subscribe'); !asked.includes(ask.ask); ask = last('subscribe')) {
      asked.push(ask.ask);
      answer({ kind: 'answer', ask: ask.ask, failure: undefined });
      await Promise.resolve();
      await new Promise((resolve) => setImmediate(resolve));
    }
    await done;
    expect(asked.length).toBe(compiled.table.values.filter(({ cccd }) => cccd !== undefined).length);
  });
});

describe('a proof', () => {
  const counts = { passed: 0, failed: 0, notReachable: 0, inconclusive: 0 };

  it('goes from planning to its end, and an older one is not listened to', () => {
    startProof(['reads']);
    const old = last('prove').run;
    startProof(['writes'], ['failsafe-missing']);
    const { run } = last('prove');
    expect(last('prove')).toMatchObject({ only: ['writes'], faults: ['failsafe-missing'], text: contractText.value });
    answer({ kind: 'proof', run: old, news: { kind: 'ended', stopped: true, counts } });
    expect(proofRun.value?.state).toBe('planning');
    answer({ kind: 'proof', run, news: { kind: 'planned', table: compiled.table, cases: [] } });
    expect(proofRun.value?.state).toBe('running');
    stopProof();
    expect(last('stop-proof')).toBeDefined();
    expect(proofRun.value?.state).toBe('stopping');
    answer({ kind: 'proof', run, news: { kind: 'ended', stopped: true, counts } });
    expect(proofRun.value).toMatchObject({ state: 'stopped', counts });
  });

  it('is refused for a contract with errors', () => {
    startProof();
    const { findings } = check('contract: 7');
    answer({ kind: 'proof', run: last('prove').run, news: { kind: 'refused', findings } });
    expect(proofRun.value).toMatchObject({ state: 'refused', findings });
  });
});
