import { spawn } from 'node:child_process';
import { open } from 'node:fs/promises';
import { appendFileSync, existsSync, mkdtempSync, readFileSync, rmSync, watch, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parquetReadObjects } from 'hyparquet';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { memoryIo } from '../../test/support/memory-io.ts';
import { hasPtyPairs, ptyPair } from '../../test/support/pty-pair.ts';
import { ConsoleLines } from '../ledger/console-lines.ts';
import { runCli } from './run-cli.ts';

const demo = 'examples/wave-tank';

// Programs are started and contracts compiled, on a machine that may do other things too.
vi.setConfig({ testTimeout: 60_000, hookTimeout: 60_000 });

async function cli(...words: readonly string[]) {
  const io = memoryIo();
  const code = await runCli(words, io);
  return { code, ...io.printed };
}

let folder: string;
let session: string;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'gattwright-record-'));
  session = join(folder, 'tank.jsonl');
  const { code, err } = await cli('record', demo, '--out', session, '--for', '20 s', '--fast');
  expect({ code, err: err.split('\n').at(-2) }).toEqual({
    code: 0,
    err: expect.stringMatching(/^wrote .*tank\.jsonl: \d+ observations in 20\.0 s$/) as string,
  });
});
afterEach(() => {
  rmSync(folder, { recursive: true });
});

describe('record', () => {
  it('writes the contract in the head, and what happened behind it', () => {
    const [head, ...lines] = readFileSync(session, 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(head).toMatchObject({
      format: 'gattwright session',
      version: 1,
      contract: readFileSync(`${demo}/contract.yaml`, 'utf8'),
    });
    const kinds = new Set(lines.map(({ is }) => is));
    for (const kind of ['printed', 'typed', 'connected', 'subscribed', 'read', 'notified', 'packet'])
      expect(kinds).toContain(kind);
  });

  it('writes over nothing without --force', async () => {
    const before = readFileSync(session, 'utf8');
    const refused = await cli('record', demo, '--out', session, '--for', '1 s', '--fast');
    expect(refused.code).toBe(2);
    expect(refused.err).toMatch('is there already and stays as it is');
    expect(readFileSync(session, 'utf8')).toBe(before);
    expect((await cli('record', demo, '--out', session, '--for', '1 s', '--fast', '--force')).code).toBe(0);
    expect(readFileSync(session, 'utf8').length).toBeLessThan(before.length);
  });

  it('needs a place and an end', async () => {
    expect((await cli('record', demo)).err).toMatch('a recording needs a place');
    expect((await cli('record', demo, '--out', join(folder, 'x'), '--fast')).err).toMatch(
      '--fast has no end of its own',
    );
    expect((await cli('record', demo, '--out', join(folder, 'no', 'x'), '--for', '1 s')).err).toMatch(
      'its folder is not there',
    );
  });

  it('keeps what was recorded when the program is killed', async () => {
    const path = join(folder, 'killed.jsonl');
    const child = spawn(process.execPath, ['--import', 'tsx', 'src/cli/main.ts', 'record', demo, '--out', path], {
      stdio: ['pipe', 'ignore', 'ignore'],
    });
    // Half a kilobyte behind the last subscription holds values.
    await new Promise<void>((resolve) => {
      const watcher = watch(folder, () => {
        const text = existsSync(path) ? readFileSync(path, 'utf8') : '';
        if (!/"id":"note","mode":"notify"[^]{600}/.test(text)) return;
        watcher.close();
        resolve();
      });
    });
    const ended = new Promise((resolve) => child.on('close', resolve));
    child.kill('SIGKILL');
    await ended;
    const { code, out } = await cli('ledger', path, '--format', 'json');
    expect(code).toBeLessThan(2);
    const level = (JSON.parse(out) as { values: { id: string; counts: { truth: number } }[] }).values.find(
      ({ id }) => id === 'level',
    );
    expect(level!.counts.truth).toBeGreaterThan(3);
  });
});

describe.skipIf(!hasPtyPairs())('record with --console', () => {
  it('records a board on a serial port until it goes, and says when it is another board', async () => {
    const cable = await ptyPair();
    const far = await open(cable.board, 'r+');
    const path = join(folder, 'serial.jsonl');
    const recorded = cli('record', demo, '--out', path, '--console', cable.host, '--for', '1 h');
    const heard: string[] = [];
    const lines = new ConsoleLines((line) => heard.push(line));
    const octets = Buffer.alloc(4096);
    while (!heard.includes('get paddle')) {
      const { bytesRead } = await far.read(octets);
      lines.take(Uint8Array.from(octets.subarray(0, bytesRead)));
    }
    expect(heard[0]).toBe('hash');
    await far.write(
      `hash ${'00'.repeat(16)} ${'00'.repeat(16)}\r\ndone hash\r\ntell 12 paddle 7d00 rig\r\ntell 40 pad`,
    );
    const written = new Promise<void>((resolve) => {
      const watcher = watch(folder, () => {
        if (!readFileSync(path, 'utf8').includes('tell 12 paddle')) return;
        watcher.close();
        resolve();
      });
    });
    await written;
    await far.close();
    await cable.close();
    const { code, err } = await recorded;
    expect(code).toBe(0);
    expect(err).toMatch('another attribute table than the contract');
    expect(err).toMatch('the board has gone');
    expect((await cli('export', path)).out).toMatch(/,board,paddle,rig,7d00,1\.25,Hz,1\.25 Hz,12,/);
  });

  it('says that a real board has its own time', async () => {
    const words = ['record', demo, '--out', join(folder, 'x'), '--console', '/dev/none', '--fast', '--for', '1 s'];
    expect((await cli(...words)).err).toMatch('has its own time');
    expect((await cli('record', demo, '--out', join(folder, 'x'), '--console', '/dev/none')).err).toMatch(
      'no such port',
    );
    expect(existsSync(join(folder, 'x'))).toBe(false);
  });
});

describe('ledger', () => {
  it('accounts for each value, and ends with 0 when there is no mark', async () => {
    const { code, out } = await cli('ledger', session);
    expect(code).toBe(0);
    expect(out).toMatch(/^level +39\d +1 +0 +36\d/m);
    expect(out).toMatch('no marks');
    const report = JSON.parse((await cli('ledger', session, '--format', 'json')).out) as {
      marks: number;
      values: unknown[];
    };
    expect(report.marks).toBe(0);
    expect(report.values).toHaveLength(13);
  });

  it('ends with 1 when a value is wrong, and says what that means', async () => {
    const lines = readFileSync(session, 'utf8').split('\n');
    const at = lines.findIndex((line) => line.includes('"is":"notified","c":1,"id":"crests"'));
    writeFileSync(
      session,
      lines.map((line, i) => (i === at ? line.replace(/"v":"\w+"/, '"v":"efbeadde"') : line)).join('\n'),
    );
    const { code, out } = await cli('ledger', session);
    expect(code).toBe(1);
    expect(out).toMatch(/^crests .* 1 wrong$/m);
    expect(out).toMatch('wrong: what crossed is no value that the board held');
  });

  it('compares two recordings', async () => {
    expect((await cli('ledger', session, '--against', session)).out).toMatch('no difference');
    const other = join(folder, 'other.jsonl');
    await cli('record', demo, '--out', other, '--for', '30 s', '--fast', '--seed', '2');
    const { code, out } = await cli('ledger', session, '--against', other);
    expect(code).toBe(1);
    expect(out).toMatch(/^level +what the board held, from number \d+ on/m);
  });

  it('reads a torn recording, and says what is left out', async () => {
    appendFileSync(session, 'nonsense\n{"t":99999999,"is":"prin');
    const { code, err } = await cli('ledger', session);
    expect(code).toBe(0);
    expect(err).toMatch(/:\d+: left out: it is no JSON object\n/);
    expect(err).toMatch('the last line is torn');
  });

  it('refuses what is no recording', async () => {
    const { code, err } = await cli('ledger', `${demo}/contract.yaml`);
    expect(code).toBe(2);
    expect(err).toMatch('no recording of gattwright');
    expect((await cli('ledger', join(folder, 'none'))).err).toMatch('there is no such file');
    expect((await cli('ledger', folder)).err).toMatch('it is a folder');
  });
});

describe('replay', () => {
  it('prints each line of the ledger with its side', async () => {
    const { code, out, err } = await cli('replay', session, '--speed', 'max', '--only', 'crests');
    expect(code).toBe(0);
    expect(out).toMatch(/^ +\d+\.\d{3} ■ crests rig: 1 \(01000000\)$/m);
    expect(out).toMatch(/^ +\d+\.\d{3} ● crests notified: 1 \(01000000\) {2}15 ms$/m);
    expect(out).not.toMatch('level');
    expect(err).toMatch('no marks');
  });

  it('goes as fast as it is told', async () => {
    expect((await cli('replay', session, '--speed', '1000', '--format', 'json')).code).toBe(0);
    expect((await cli('replay', session, '--speed', 'fast')).err).toMatch('write a number');
    expect((await cli('replay', session, '--only', 'crest')).err).toMatch('has no value `crest`');
  });
});

describe('export', () => {
  it('writes values as CSV, JSON lines and Parquet, all alike', async () => {
    const { out } = await cli('export', session);
    const records = out.trimEnd().split('\r\n');
    expect(records[0]).toBe('time_s,side,id,how,raw_hex,number,unit,value,board_ms,connection,delay_s,mark');
    const [csv, jsonl, parquet] = ['csv', 'jsonl', 'parquet'].map((format) => join(folder, `out.${format}`)) as [
      string,
      string,
      string,
    ];
    for (const path of [csv, jsonl, parquet]) {
      const { code, err } = await cli('export', session, '--format', path.split('.').at(-1)!, '--out', path);
      expect({ code, err }).toEqual({ code: 0, err: `wrote ${path}: ${records.length - 1} rows\n` });
    }
    expect(readFileSync(csv, 'utf8')).toBe(out);
    const lines = readFileSync(jsonl, 'utf8')
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as { number?: number });
    const buffer = readFileSync(parquet);
    const file = buffer.buffer.slice(buffer.byteOffset, buffer.byteOffset + buffer.length);
    const rows = (await parquetReadObjects({ file })) as { number: number | null }[];
    expect(rows.map(({ number }) => number)).toEqual(lines.map(({ number }) => number ?? null));
    const again = await cli('export', session, '--out', csv);
    expect(again.code).toBe(2);
    expect(again.err).toMatch('say --force');
  });

  it('writes the packets as pcapng', async () => {
    const path = join(folder, 'out.pcapng');
    const { err } = await cli('export', session, '--format', 'pcapng', '--out', path);
    const count = Number(/: (\d+) packets/.exec(err)![1]);
    const file = readFileSync(path);
    let blocks = 0;
    for (let at = 0; at < file.length; at += file.readUInt32LE(at + 4)) if (file.readUInt32LE(at) === 6) blocks += 1;
    expect(blocks).toBe(count);
    expect((await cli('export', session, '--format', 'pcapng')).err).toMatch('no text for a terminal');
  });
});
