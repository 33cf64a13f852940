import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { memoryIo } from '../../test/support/memory-io.ts';
import { radio } from '../contract/rules/sample.ts';
import { commands } from './registry.ts';
import { runCli } from './run-cli.ts';
import { version } from './version.ts';

const demo = 'examples/wave-tank';

async function cli(line: string, lines: readonly string[] = []) {
  const io = memoryIo(lines);
  const code = await runCli(line === '' ? [] : line.split(' '), io);
  return { code, ...io.printed };
}

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'gattwright-cli-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

describe('the command line itself', () => {
  it('lists every command without words and ends with 2, with help and ends with 0', async () => {
    const { code, out } = await cli('');
    expect(code).toBe(2);
    for (const { name } of commands) expect(out).toContain(`\n  ${name} `);
    expect((await cli('help')).code).toBe(0);
    expect((await cli('--help')).out).toBe(out);
  });

  it('explains each command, with every option and argument', async () => {
    for (const command of commands) {
      const { code, out } = await cli(`help ${command.name}`);
      expect(code).toBe(0);
      for (const { name } of [...command.arguments, ...command.options]) expect(out).toContain(name);
      expect(await cli(`${command.name} --help`)).toMatchObject({ code: 0, out });
    }
  });

  it('suggests the nearest command and option', async () => {
    expect(await cli('chekc x')).toMatchObject({
      code: 2,
      err: expect.stringContaining('did you mean `check`?') as string,
    });
    expect(await cli('check x --formt json')).toMatchObject({
      code: 2,
      err: expect.stringContaining('did you mean --format?') as string,
    });
  });

  it('says which word is missing, superfluous or not among the choices', async () => {
    expect((await cli('check')).err).toContain('`check` needs FILE');
    expect((await cli('check a b')).err).toContain('takes no further word: `b`');
    expect((await cli('check a --format xml')).err).toContain('none of: text, json');
    expect((await cli('prove a --seed many')).err).toContain('no whole number');
    expect((await cli('check a --format')).err).toContain('--format needs FORMAT');
    expect((await cli('check a --strict=yes')).err).toContain('--strict takes no value');
  });

  it('keeps what was typed from driving the terminal', async () => {
    const { err } = await cli('\u001b[31mcheck');
    expect(err).toContain('there is no command');
    expect(err).not.toContain('\u001b');
  });

  it('describes itself to programs', async () => {
    const all = JSON.parse((await cli('help --format json')).out) as { name: string }[];
    expect(all.map(({ name }) => name)).toEqual(commands.map(({ name }) => name));
    expect(JSON.parse((await cli('help prove --format json')).out)).toMatchObject({ name: 'prove' });
  });

  it('tells its version as the package has it', async () => {
    const manifest = JSON.parse(readFileSync('package.json', 'utf8')) as { version: string };
    expect(version).toBe(manifest.version);
    expect((await cli('--version')).out).toBe(`gattwright ${manifest.version}\n`);
  });
});

describe('check', () => {
  it('passes the demo', async () => {
    expect(await cli(`check ${demo}`)).toMatchObject({ code: 0, err: '' });
  });

  it('passes every example without an error', async () => {
    for (const name of ['wave-tank', 'greenhouse', 'seismograph', 'dimmer', 'telescope']) {
      expect((await cli(`check examples/${name} --strict`)).code, name).toBe(0);
    }
  });

  it('points at a mistake and ends with 1', async () => {
    const path = join(folder, 'contract.yaml');
    writeFileSync(path, readFileSync(`${demo}/contract.yaml`, 'utf8').replace('unit: hertz', 'unit: herz'));
    const { code, out } = await cli(`check ${folder}`);
    expect(code).toBe(1);
    expect(out).toMatch(/contract\.yaml:\d+:\d+: error/);
    expect(out).toContain('`hertz`');
    const json = JSON.parse((await cli(`check ${path} --format json`)).out) as {
      findings: { code: string; place: { line: number; column: number } }[];
    };
    expect(json.findings[0]?.place.line).toBeGreaterThan(1);
  });

  it('finds what no contract can be, a file of 10 MB and one that is no text', async () => {
    const path = join(folder, 'contract.yaml');
    writeFileSync(path, 'key: value\n'.repeat(950_000));
    expect(await cli(`check ${path}`)).toMatchObject({
      code: 1,
      out: expect.stringContaining('[file-too-large]') as string,
    });
    writeFileSync(path, new Uint8Array(1000).fill(0xff));
    expect((await cli(`check ${path}`)).code).toBe(1);
  });

  it('points at the right column behind a byte order mark', async () => {
    const path = join(folder, 'contract.yaml');
    writeFileSync(path, '\ufeffcontract: 2\n');
    expect((await cli(`check ${path}`)).out).toContain(`${path}:1:11: error`);
  });

  it('says what is not there, and ends with 2', async () => {
    expect(await cli(`check ${join(folder, 'nothing.yaml')}`)).toMatchObject({
      code: 2,
      err: expect.stringContaining('is not there') as string,
    });
    expect(await cli(`check ${folder}`)).toMatchObject({
      code: 2,
      err: expect.stringContaining('without `contract.yaml`') as string,
    });
  });
});

describe('table', () => {
  it('prints the shape that programs read', async () => {
    const json = JSON.parse((await cli(`table ${demo} --format json`)).out) as {
      databaseHash: { specification: string; onAir: string };
      advertising: string;
      scanResponse: string;
      rows: { handle: number; type: string; permissions: string[]; value: string; about: string }[];
    };
    expect(json.databaseHash.specification).toMatch(/^[0-9a-f]{32}$/);
    expect(json.databaseHash.onAir).toBe(json.databaseHash.specification.match(/../g)?.reverse().join(''));
    expect(json.advertising).toMatch(/^020106/);
    expect(json.scanResponse).toMatch(/^([0-9a-f]{2})*$/);
    expect(json.rows[0]).toMatchObject({ handle: 1, type: '2800', permissions: ['read'], value: '0018' });
  });

  it('tells the errors of a contract that has no table, and ends with 1', async () => {
    const path = join(folder, 'contract.yaml');
    writeFileSync(path, 'contract: 1\n');
    const { code, out, err } = await cli(`table ${path}`);
    expect({ code, out }).toEqual({ code: 1, out: '' });
    expect(err).toContain('`board`');
  });

  it('tells programs the errors where the table would be', async () => {
    const path = join(folder, 'contract.yaml');
    writeFileSync(path, 'contract: 1\n');
    for (const line of [`table ${path}`, `prove ${path}`, `diff ${path} ${demo}`, `diff ${demo} ${path}`]) {
      const { out, err } = await cli(`${line} --format json`);
      expect(JSON.parse(out), line).toMatchObject({ file: path, findings: [{ code: 'missing-key' }] });
      expect(err).toBe('');
    }
  });
});

describe('explain', () => {
  it('lists all findings, explains one, and helps with a mistyped one', async () => {
    const { out } = await cli('explain');
    const code = /^(\S+)/.exec(out)?.[1] ?? '';
    const page = await cli(`explain ${code}`);
    expect(page.code).toBe(0);
    expect(page.out).toContain('Source: ');
    expect((await cli(`explain ${code}x`)).err).toContain(`did you mean \`${code}\`?`);
  });
});

describe('new', () => {
  it('writes a contract that checks clean and keeps what is there', async () => {
    const target = join(folder, 'my-board');
    expect(await cli(`new ${target}`)).toMatchObject({ code: 0 });
    // A long folder name stands in the scan response only, which is a note.
    const { code, out } = await cli(`check ${target} --strict`);
    expect({ code, out }).toEqual({ code: 0, out: expect.not.stringMatching(/: (error|warning) /) as string });
    expect(await cli(`new ${target}`)).toMatchObject({
      code: 2,
      err: expect.stringContaining('stays as it is') as string,
    });
  });

  it('says why a folder cannot be made, and tells programs what it wrote', async () => {
    writeFileSync(join(folder, 'file'), '');
    expect((await cli(`new ${join(folder, 'file', 'board')}`)).err).toContain('lies below something that is no folder');
    expect(await runCli(['new', ''], memoryIo())).toBe(2);
    // Nothing can be made there, whoever asks.
    if (process.platform === 'linux')
      expect(await cli('new /proc/gattwright/board')).toMatchObject({ code: 2, out: '' });
    const target = join(folder, 'a', 'b');
    expect(JSON.parse((await cli(`new ${target} --format json`)).out)).toMatchObject({
      wrote: [join(target, 'contract.yaml')],
    });
  });

  it('copies an example with a UUID base of its own', async () => {
    const target = join(folder, 'tank-2');
    expect((await cli(`new ${target} --like wave-tank`)).out).toContain('rig.ts');
    const base = (path: string): string => /^uuid-base: (.*)$/m.exec(readFileSync(path, 'utf8'))?.[1] ?? '';
    expect(base(join(target, 'contract.yaml'))).toMatch(/^[0-9a-f]{4}0000-/);
    expect(base(join(target, 'contract.yaml'))).not.toBe(base(`${demo}/contract.yaml`));
    expect((await cli(`new ${join(folder, 'x')} --like wavetank`)).err).toContain('did you mean `wave-tank`?');
  });
});

describe('diff', () => {
  it('finds nothing between a contract and itself, and a break where a type changes', async () => {
    expect((await cli(`diff ${demo} ${demo}`)).code).toBe(0);
    const path = join(folder, 'contract.yaml');
    writeFileSync(path, readFileSync(`${demo}/contract.yaml`, 'utf8').replace('type: uint32', 'type: uint64'));
    const { code, out } = await cli(`diff ${demo} ${path}`);
    expect(code).toBe(1);
    expect(out).toContain('crests');
  });
});

describe('prove', () => {
  it('proves one family of the demo and prints the shape that programs read', async () => {
    const { code, out } = await cli(`prove ${demo} --only structure --format json`);
    const json = JSON.parse(out) as {
      passed: number;
      failed: number;
      notReachable: number;
      cases: {
        id: string;
        family: string;
        verdict: string;
        place: { line: number; column: number };
        exchange: unknown[];
      }[];
    };
    expect(code).toBe(0);
    expect(json).toMatchObject({ failed: 0, notReachable: 0, passed: json.cases.length });
    expect(json.cases[0]).toMatchObject({ family: 'structure', verdict: 'passed' });
    expect(json.cases[0]?.place.line).toBeGreaterThan(0);
  });

  it('catches a planted fault, writes the report, and ends with 1', async () => {
    const report = join(folder, 'proof.html');
    const { code, out } = await cli(`prove ${demo} --only link-loss --fault failsafe-missing --report ${report}`);
    expect(code).toBe(1);
    expect(out).toContain('link-loss/paddle');
    expect(readFileSync(report, 'utf8')).toContain('<!doctype html>');
  });

  it('does not write over a report that is not its own', async () => {
    const report = join(folder, 'mine.html');
    writeFileSync(report, 'dear diary');
    expect(await cli(`prove ${demo} --only advertising --report ${report}`)).toMatchObject({ code: 2 });
    expect(readFileSync(report, 'utf8')).toBe('dear diary');
  });

  it('says why a report cannot be written', async () => {
    expect(await cli(`prove ${demo} --only advertising --report ${folder}`)).toMatchObject({
      code: 2,
      err: expect.stringContaining('it is a folder') as string,
    });
    expect((await cli(`prove ${demo} --only advertising --report ${join(folder, 'x', 'y.html')}`)).err).toContain(
      'its folder is not there',
    );
  });

  it('ends what it prints with the end of a line, and lists for programs too', async () => {
    expect((await cli(`prove ${demo} --only advertising`)).out).toMatch(/passed\n$/);
    expect(JSON.parse((await cli(`prove ${demo} --only advertising --list --format json`)).out)).toContainEqual(
      expect.objectContaining({ id: 'advertising/board/data', family: 'advertising' }),
    );
    expect(JSON.parse((await cli(`prove ${demo} --fault list --format json`)).out)).toContainEqual(
      expect.objectContaining({ name: 'failsafe-missing' }),
    );
  });

  it('gives JUnit XML, lists cases and faults, and says when nothing matches', async () => {
    expect((await cli(`prove ${demo} --only advertising --format junit`)).out).toMatch(/^<\?xml /);
    expect((await cli(`prove ${demo} --list`)).out).toContain('writes/paddle/');
    expect((await cli(`prove ${demo} --fault list`)).out).toContain('failsafe-missing');
    expect((await cli(`prove ${demo} --only nothing-like-this`)).code).toBe(2);
    expect((await cli(`prove ${demo} --fault failsafe-mising`)).err).toContain('did you mean `failsafe-missing`?');
  });

  it('cannot run on a contract with errors', async () => {
    writeFileSync(join(folder, 'contract.yaml'), 'contract: 2\n');
    expect((await cli(`prove ${folder}`)).code).toBe(2);
  });
});

describe('board', () => {
  it('answers on its console and over the air, in virtual time', async () => {
    const { code, out } = await cli(`board ${demo} --fast`, [
      'get paddle',
      '@connect',
      '@write paddle 1.25',
      '@read paddle',
      '@write paddle 5',
      '@subscribe crests',
      '@wait 3 s',
      '@lose',
      '@wait 10 s',
      'get paddle',
    ]);
    expect(code).toBe(0);
    expect(out).toMatch(/^tell \d+ paddle 7d00 air$/m);
    expect(out).toContain('@ paddle is 1.25 Hz (7d 00)');
    expect(out).toMatch(/^@ the board refused: .*\(0xff\)$/m);
    expect(out).toMatch(/^@ notification: crests is \d+/m);
    expect(out).toMatch(/^tell \d+ paddle 0000 failsafe$/m);
  });

  it('helps with mistyped acts and values', async () => {
    const { out } = await cli(`board ${demo} --fast`, [
      '@conect',
      '@read paddle',
      '@connect',
      '@read padle',
      '@wait a while',
    ]);
    expect(out).toContain('did you mean @connect?');
    expect(out).toContain('not connected');
    expect(out).toContain('did you mean `paddle`?');
    expect(out).toContain('name a time');
  });
});

describe('the process', () => {
  it.runIf(existsSync('/dev/full') && existsSync('dist/cli/main.js'))('says when its output cannot be written', () => {
    const ended = spawnSync('sh', ['-c', 'node bin/gattwright.mjs explain > /dev/full'], { encoding: 'utf8' });
    expect(ended.status).toBe(2);
    expect(ended.stderr).toBe('gattwright: could not write `standard output`: the disk is full\n');
  });
});

describe('budget', () => {
  it('measures real images where the toolchain is, near what the model says', { timeout: 120_000 }, async () => {
    const { code, out, err } = await cli(`budget ${demo} --part memory --measure --format json`);
    if (code === 2 && process.env['CI'] === undefined) {
      expect(err).toContain('gcc-arm-none-eabi');
      return;
    }
    const { measured, memory } = JSON.parse(out) as {
      measured: { port: string; flash: number; ram: number }[];
      memory: { targets: { name: string; flash: { low: number; high: number } }[] };
    };
    expect(measured.map(({ port }) => port)).toEqual(['rp2040', 'microbit']);
    for (const { port, flash, ram } of measured) {
      const model = memory.targets.find(({ name }) => name.startsWith(port))!.flash;
      expect(flash).toBeGreaterThan(0.8 * model.low);
      expect(flash).toBeLessThan(1.2 * model.high);
      expect(ram).toBeGreaterThan(0);
    }
  });

  it('tells each part with its formula, source, assumptions and end', async () => {
    const { code, out } = await cli(`budget ${demo}`);
    expect(code).toBe(0);
    for (const id of ['battery-level', 'crests', 'level', 'water', 'note'])
      expect(out).toContain(`${id}, change to notification: best`);
    for (const id of ['paddle', 'caption']) expect(out).toContain(`${id}, write to board: best`);
    const headings = [
      'Air time',
      'Throughput',
      'Use of the link',
      'Delay',
      'Being found',
      'Room',
      'Charge',
      'Memory',
      'Numbers',
    ];
    for (const heading of headings) expect(out).toMatch(new RegExp(`^${heading}`, 'm'));
    for (const word of ['formula', 'source', 'assumes', 'ends where']) {
      expect(out.match(new RegExp(`^    ${word}: .`, 'gm'))).toHaveLength(headings.length);
    }
    const one = await cli(`budget ${demo} --part memory`);
    expect(one.out).not.toContain('Throughput');
  }, 30_000);

  it('gives programs plain JSON in which nothing is without a reason', async () => {
    const { out } = await cli(`budget ${demo} --format json --boards 3 --scan 2.5ms/10.24s`);
    const json = JSON.parse(out) as {
      throughput: { basis: { formula: string } };
      link: { smallestMtu: number };
      room: { question: { advertising: number; connected: number } };
      unknown: readonly { at: string; because: string }[];
    };
    // The longest notified value is the note: 40 octets and 3 of ATT (Core Vol 3 Part F 3.4.7.1).
    expect(json.link.smallestMtu).toBe(43);
    expect(json.throughput.basis.formula).not.toBe('');
    expect(json.room.question).toMatchObject({ advertising: 3, connected: 3 });
    for (const { at, because } of json.unknown) {
      expect(because).not.toBe('');
      expect(
        at
          .split(/[.[\]]+/)
          .filter((key) => key !== '')
          .reduce<unknown>((o, key) => (o as Record<string, unknown>)[key], json),
      ).toBeNull();
    }
  }, 30_000);

  it('takes the figures of the user’s parts, and says what is wrong with a file of them', async () => {
    const path = join(folder, 'parts.yaml');
    writeFileSync(path, '# from the data sheet\nsleepUa: 1.1\ntransmitMa: [4, 4.6, 5.2]\n');
    const { code, out } = await cli(`budget ${demo} --part energy --format json --supply ${path}`);
    expect(code).toBe(0);
    const { question } = JSON.parse(out) as { question: { supply: Record<string, unknown> } };
    expect(question.supply['sleepUa']).toEqual({ low: 1.1, likely: 1.1, high: 1.1 });
    writeFileSync(path, 'sleep: 3');
    expect((await cli(`budget ${demo} --supply ${path}`)).err).toContain('has no `sleep`');
    writeFileSync(path, 'sleepUa: [');
    expect((await cli(`budget ${demo} --supply ${path}`)).code).toBe(2);
    expect((await cli(`budget ${demo} --supply nowhere.yaml`)).err).toContain('coin cell');
  });

  it.each([
    ['--loss 1', '--loss is 1'],
    ['--loss lots', '--loss is lots'],
    ['--boards 0', '--boards is 0'],
    ['--scan often', 'screen, balanced'],
    ['--scan 60ms/30ms', '--scan is 60ms/30ms'],
    ['--room-time soon', 'which is no time'],
    ['--part all', 'none of'],
  ])('refuses %s in one line', async (options, told) => {
    const { code, err } = await cli(`budget ${demo} ${options}`);
    expect(code).toBe(2);
    expect(err).toContain(told);
  });

  it('shows what the contract’s checks say of its radio, with the section', async () => {
    const path = join(folder, 'contract.yaml');
    writeFileSync(path, radio('connection: { interval: 50 ms, latency: 4, timeout: 500 ms }'));
    const bad = await cli(`budget ${path}`);
    expect(bad.code).toBe(1);
    expect(bad.err).toContain('supervision timeout is 500 ms');
    writeFileSync(path, radio('connection: { interval: 7 ms, latency: 500 }'));
    const beyond = await cli(`budget ${path}`);
    expect(beyond.code).toBe(1);
    expect(beyond.err).toContain('`interval`: Core Vol 6 Part B 4.5.1\n`latency`: Core Vol 6 Part B 4.5.1\n');
    writeFileSync(path, radio('connection: { interval: 7.5 ms }'));
    const odd = await cli(`budget ${path} --part air`);
    expect(odd.out).toContain('▲ the connection interval is 7.5 ms, but phones accept 15 ms or more (guidelines');
  });
});

describe('schema and completions', () => {
  it('prints the JSON Schema', async () => {
    expect(JSON.parse((await cli('schema')).out)).toHaveProperty('$schema');
  });

  it('prints scripts that the shell reads', async () => {
    const { out } = await cli('completions bash');
    expect(spawnSync('bash', ['-n'], { input: out }).status).toBe(0);
    const asked = spawnSync('bash', [
      '-c',
      `${out}\nCOMP_WORDS=(gattwright pr); COMP_CWORD=1; _gattwright; echo "\${COMPREPLY[@]}"`,
    ]);
    expect(asked.stdout.toString().trim()).toBe('prove');
    for (const { name } of commands) expect((await cli('completions fish')).out).toContain(`-a ${name} `);
  });
});
