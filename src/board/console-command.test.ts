import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { commandHelp, parseCommand } from './console-command.ts';
import { parseConsoleLine } from './console.ts';

/** Any UTF-16 units, lone surrogates and control characters included. */
const noise = fc.uint16Array({ maxLength: 80 }).map((units) => String.fromCharCode(...units));

describe('a typed line', () => {
  it.each([
    ['help', { kind: 'help' }],
    ['  list  ', { kind: 'list' }],
    ['get paddle', { kind: 'get', id: 'paddle' }],
    ['set paddle 1.25', { kind: 'set', id: 'paddle', value: { kind: 'physical', text: '1.25' } }],
    ['set note  two blanks ', { kind: 'set', id: 'note', value: { kind: 'physical', text: ' two blanks ' } }],
    ['set note a\\nb', { kind: 'set', id: 'note', value: { kind: 'physical', text: 'a\nb' } }],
    ['set note \\x3d00', { kind: 'set', id: 'note', value: { kind: 'physical', text: '=00' } }],
    ['set note =', { kind: 'set', id: 'note', value: { kind: 'raw', bytes: new Uint8Array(0) } }],
    ['set paddle =7D 00', { kind: 'set', id: 'paddle', value: { kind: 'raw', bytes: Uint8Array.of(0x7d, 0) } }],
    ['tell off', { kind: 'tell', on: false }],
    ['screen', { kind: 'screen', columns: 80, rows: 24, page: 1 }],
    ['screen 40x30 2', { kind: 'screen', columns: 40, rows: 30, page: 2 }],
    ['drop 3', { kind: 'drop', client: 3 }],
    ['drop all', { kind: 'drop', client: undefined }],
  ])('%j is a command', (line, command) => {
    expect(parseCommand(line)).toEqual(command);
  });

  it.each([
    ['Help', 'Help', 'unknown-command'],
    ['lst', 'lst', 'unknown-command'],
    ['help me', 'help', 'extra-argument'],
    ['get', 'get', 'missing-argument'],
    ['get a b', 'get', 'extra-argument'],
    ['set', 'set', 'missing-argument'],
    ['set note', 'set', 'missing-argument'],
    ['set note ', 'set', 'missing-argument'],
    ['set note =1', 'set', 'bad-argument'],
    ['set note \\q', 'set', 'bad-argument'],
    ['tell', 'tell', 'missing-argument'],
    ['tell me', 'tell', 'bad-argument'],
    ['screen 80', 'screen', 'bad-argument'],
    ['screen 10x10', 'screen', 'bad-argument'],
    ['screen 80x24 0', 'screen', 'bad-argument'],
    ['screen 80x24 1 2', 'screen', 'extra-argument'],
    ['drop', 'drop', 'missing-argument'],
    ['drop first', 'drop', 'bad-argument'],
  ])('%j is refused', (line, command, reason) => {
    expect(parseCommand(line)).toMatchObject({ kind: 'error', command, reason });
  });

  it('suggests the command that was meant', () => {
    expect(parseCommand('lits')).toMatchObject({ message: 'did you mean list?' });
  });

  it.each(['', '   ', '\t'])('%j is nothing', (line) => {
    expect(parseCommand(line)).toBeUndefined();
  });

  it('is taken apart whatever it is, and its first word can be printed', () => {
    fc.assert(
      fc.property(noise, (line) => {
        const parsed = parseCommand(line);
        if (parsed?.kind === 'error') expect(parsed.command).toMatch(/^\S+$/);
      }),
      { numRuns: 300 },
    );
  });
});

const page = readFileSync(new URL('../../docs/console.md', import.meta.url), 'utf8');

describe('the page about the console', () => {
  it('names every command', () => {
    for (const { usage } of commandHelp) expect(page).toContain(`| \`${usage.split(/ |\|/)[0]!}`);
  });

  it('shows lines as they are', () => {
    const example = /Example.*?```\n(.*?)```/s.exec(page)![1]!.trimEnd().split('\n');
    expect(example.length).toBeGreaterThan(8);
    for (const line of example) {
      if (line.startsWith('> ')) expect(parseCommand(line.slice(2))).not.toMatchObject({ kind: 'error' });
      else expect(parseConsoleLine(line)).toBeDefined();
    }
  });
});
