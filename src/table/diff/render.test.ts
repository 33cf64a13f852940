import { describe, expect, it } from 'vitest';
import { parseContract } from '../../contract/parse.ts';
import { characteristics } from '../../contract/rules/sample.ts';
import { compileTable } from '../compile.ts';
import { diffTables } from '../diff.ts';
import { diffJson, renderDiff, type Side } from './render.ts';

const counter = 'id: count\nlabel: Parts\ntype: uint32\naccess: [read]';
const pump = 'id: pump\nlabel: Pump\ntype: uint8\nunit: percentage\nrange: [0, 100]\naccess: [read, write]';

const old: Side = { name: 'old.yaml', text: characteristics(counter, pump) };
const next: Side = {
  name: 'new.yaml',
  text: characteristics(
    counter.replace('Parts', 'Parts made'),
    pump.replace('100', '80'),
    'id: lamp\nlabel: Lamp\ntype: boolean\naccess: [read]',
  ),
};

const changes = diffTables(
  ...([old, next].map(({ text }) => compileTable(parseContract(text).value!).value!) as [never, never]),
);

describe('renderDiff', () => {
  it('sorts the changes by what they do to clients', async () => {
    await expect(renderDiff(changes, old, next)).toMatchFileSnapshot('golden/diff.txt');
  });

  it('has one line for no change', () => {
    expect(renderDiff([], old, old)).toBe('old.yaml and old.yaml: no change that a client could notice\n');
  });
});

describe('diffJson', () => {
  it('has the same changes with places by line and column', () => {
    const json = diffJson(changes, old, next);
    expect(json.summary).toEqual({ breaks: 1, 'must-rediscover': 2, 'keeps-working': 1 });
    expect(json.changes[0]).toMatchObject({
      effect: 'breaks',
      kind: 'range-narrowed',
      about: 'bench / pump',
      reason: 'its range was 0 to 100 % and is 0 to 80 %',
      old: { line: 13, column: 9 },
      new: { line: 13, column: 9 },
    });
    expect(json.changes.find(({ kind }) => kind === 'characteristic-added')).toMatchObject({
      old: null,
      new: { line: 19 },
    });
    // Plain data all through.
    expect(JSON.parse(JSON.stringify(json))).toEqual(json);
  });
});
