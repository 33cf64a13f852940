import { describe, expect, it } from 'vitest';
import fc from 'fast-check';
import { elementsOf, readXml } from '../../test/support/check-xml.ts';
import { boardTable, valueOf } from '../../test/support/board-table.ts';
import { prove } from '../../test/support/proof-bench.ts';
import { toHex, u16le } from '../base/bytes.ts';
import { us } from '../base/quantity.ts';
import { lineIndex } from '../base/text-range.ts';
import { faultByName } from '../board/faults/registry.ts';
import { allCases, makeReport, type Report, type ReportCase } from './report.ts';
import { reportHtml } from './report-html.ts';
import { reportJson } from './report-json.ts';
import { reportJunit } from './report-junit.ts';
import { reportText } from './report-text.ts';
import type { VerdictWord } from './verdict.ts';

const table = boardTable();
const source = 'contract: 1\nboard:\n  name: Bench\n';

async function faulty(): Promise<Report> {
  const board = { fault: faultByName('failsafe-missing') };
  return makeReport(await prove(table, { only: ['link-loss', 'mtu'], board }), table, 'bench.yaml', source);
}

/** A report of one case with these words in every place where a user's words can stand. */
function reportWith(words: string, verdict: VerdictWord = 'failed', bug = false): Report {
  const one: ReportCase = {
    id: 'reads/a/value',
    family: 'reads',
    about: words,
    verdict,
    bug,
    expected: words,
    seen: words,
    place: { line: 1, column: 1 },
    range: { start: 0, end: 1 },
    took: us(1_500_000),
    exchange: [
      { kind: 'word', at: us(0), by: 'console', about: words },
      { kind: 'pdu', at: us(0), from: 'central', connection: 1, hex: '0a0300', about: words },
      { kind: 'left-out', count: 5 },
      { kind: 'pdu', at: us(10), from: 'board', connection: 2, hex: '0b01', about: words },
    ],
  };
  const counts = { passed: 0, failed: 0, notReachable: 0, inconclusive: 0 };
  const key = verdict === 'not-reachable' ? 'notReachable' : verdict;
  return {
    file: words,
    board: words,
    link: words,
    seed: 1,
    databaseHash: '00',
    proved: verdict === 'passed',
    stopped: false,
    total: 1,
    counts: { ...counts, [key]: 1 },
    families: [{ family: 'reads', title: 'A question?', counts: { ...counts, [key]: 1 }, cases: [one] }],
    lines: lineIndex(words),
  };
}

const hostile = `"><script>alert(1)</script><b onmouseover='x'>]]>&amp; \u202egnp.exe\u0000\u001b[31m\ud800 --> \`<u>\``;

describe('the JSON of a report', () => {
  it('has the counts, and each case with its place and its exchange', async () => {
    const report = await faulty();
    const json = reportJson(report);
    expect(json).toMatchObject({
      passed: report.counts.passed,
      failed: report.counts.failed,
      notReachable: 0,
      seed: 1,
    });
    expect(json.cases.length).toBe(json.passed + json.failed);
    const one = json.cases.find(({ id }) => id === 'link-loss/speed/safe-after-goodbye')!;
    expect(Object.keys(one)).toEqual([
      'id',
      'family',
      'verdict',
      'about',
      'expected',
      'seen',
      'place',
      'took_us',
      'exchange',
    ]);
    expect(one).toMatchObject({ family: 'link-loss', verdict: 'failed', place: { line: 1, column: 1 } });
    expect(one.expected).toMatch(/^0 Hz \(00 00\) at most 2 s after/);
    expect(one.exchange.map((line) => ('from' in line ? line.from : 'left out'))).toEqual([
      'link',
      'central',
      'console',
      'board',
      'console',
      'link',
      'console',
    ]);
    expect(one.exchange[1]).toMatchObject({
      at_us: 0,
      from: 'central',
      connection: 1,
    });
    expect(one.exchange[1]).toHaveProperty('pdu', `12${toHex(u16le(valueOf(table, 'speed').handle))}9001`);
  });

  it('is plain data, the same each time', async () => {
    const text = JSON.stringify(reportJson(await faulty()));
    expect(JSON.stringify(JSON.parse(text))).toBe(text);
    expect(JSON.stringify(reportJson(await faulty()))).toBe(text);
  });

  it('marks a case that broke', () => {
    expect(reportJson(reportWith('x', 'failed', true)).cases[0]).toMatchObject({ bug: true });
    expect('bug' in reportJson(reportWith('x')).cases[0]!).toBe(false);
  });
});

describe('the JUnit XML of a report', () => {
  it('is well-formed, a suite for each family, its numbers adding up', async () => {
    const report = await faulty();
    const root = readXml(reportJunit(report));
    expect(root.name).toBe('testsuites');
    const suites = elementsOf(root, 'testsuite');
    expect(suites.map(({ attributes }) => attributes.get('name'))).toEqual(['mtu', 'link-loss']);
    const sum = (name: string): number => suites.reduce((all, { attributes }) => all + Number(attributes.get(name)), 0);
    for (const name of ['tests', 'failures', 'errors', 'skipped']) {
      expect(Number(root.attributes.get(name))).toBe(sum(name));
    }
    expect(elementsOf(root, 'testcase').length).toBe(sum('tests'));
    expect(elementsOf(root, 'failure').length).toBe(report.counts.failed);
  });

  it.each([
    ['failed', false, 'failure'],
    ['failed', true, 'error'],
    ['inconclusive', false, 'error'],
    ['not-reachable', false, 'skipped'],
  ] as const)('tells %s (of our own: %s) by %s', (verdict, bug, element) => {
    const root = readXml(reportJunit(reportWith('words', verdict, bug)));
    expect(elementsOf(root, 'testcase')[0]!.children.map(({ name }) => name)).toEqual([element]);
    expect(elementsOf(root, element)[0]!.attributes.get('message')).toBe('words');
    expect(elementsOf(root, 'testcase')[0]!.attributes.get('time')).toBe('1.500000');
  });

  it('holds whatever words a user has, and nothing that XML cannot hold', () => {
    const message = elementsOf(readXml(reportJunit(reportWith(hostile))), 'failure')[0]!.attributes.get('message');
    expect(message).toContain('"><script>alert(1)</script>');
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 30 }), (words) => {
        readXml(reportJunit(reportWith(words)));
      }),
      { numRuns: 100 },
    );
  });
});

describe('the page of a report', () => {
  it('holds no tag of a user, no script, and loads nothing', () => {
    const html = reportHtml(reportWith(hostile));
    expect(html).not.toMatch(/<script|<b onmouseover|<u>|javascript:|\ssrc=|url\(|@import|https?:/i);
    expect(html).not.toMatch(/[\p{Cs}\u202e]|\p{Cc}(?<!\n)/u);
    expect(html).toContain('&quot;&gt;&lt;script&gt;');
  });

  it('closes every tag that it opens, whatever words stand in it', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 30 }), (words) => {
        const open: string[] = [];
        const html = reportHtml(reportWith(words)).replace(/<style>[^]*<\/style>/, '');
        for (const [, slash, name = ''] of html.matchAll(/<(\/?)([a-z][a-z0-9]*)[^>]*>/g)) {
          if (['meta'].includes(name)) continue;
          if (slash === '') open.push(name);
          else expect(open.pop()).toBe(name);
        }
        expect(open).toEqual([]);
      }),
      { numRuns: 100 },
    );
  });

  it('tells what failed first, with what was expected, seen and crossed, and where it is written', async () => {
    const html = reportHtml(await faulty());
    const attention = html.slice(html.indexOf('id="attention"'), html.indexOf('The cases one by one'));
    expect(attention).toContain('id="link-loss-speed-safe-after-goodbye"');
    expect(attention).toMatch(/<span>Expected<\/span><p>0 Hz \(00 00\) at most 2 s after/);
    expect(attention).toMatch(/<span>Seen<\/span><p>4 Hz \(90 01\)<\/p>/);
    expect(attention).toContain('bench.yaml, line 1, column 1');
    expect(attention).toContain('Write Request');
    expect(html.indexOf('id="attention"')).toBeLessThan(html.indexOf('<details'));
  });

  it('says in a sentence what came of it', async () => {
    const sentence = (html: string): string => /class="sentence">([^<]*)/.exec(html)?.[1]?.trim() ?? '';
    expect(sentence(reportHtml(await faulty()))).toMatch(
      /^The board does not do what its contract says: \d cases failed\.$/,
    );
    expect(sentence(reportHtml(reportWith('x', 'passed')))).toMatch(/^The board does what its contract says/);
    const stopped = { ...reportWith('x', 'passed'), proved: false, stopped: true, total: 9 };
    expect(sentence(reportHtml(stopped))).toMatch(/not proved\. The proof was stopped after 1 of 9 cases\.$/);
    expect(sentence(reportHtml(reportWith('x', 'not-reachable')))).toContain(
      '1 case could not be asked over this link.',
    );
  });

  it('says that a radio link is no safety function, and is the same each time', async () => {
    const html = reportHtml(await faulty());
    expect(html).toContain('A radio link is not a safety function');
    expect(reportHtml(await faulty())).toBe(html);
  });
});

describe('the text of a report', () => {
  it('tells each failure in full, then the families, then one line', async () => {
    const report = await faulty();
    const text = reportText(report);
    expect(text.match(/^failed /gm)?.length).toBe(report.counts.failed);
    expect(text).toContain('bench.yaml:1:1');
    expect(text.split('\n').at(-1)).toMatch(/^.*, virtual board, in memory, seed 1: \d+ passed, \d+ failed$/);
    expect(text).toMatch(/^mtu +8 passed {2}Does the packet size/m);
  });

  it('shows the last of a long exchange', () => {
    const text = reportText(reportWith('words'), { exchange: 2 });
    expect(text).toMatch(/… 2 before\n.*… 5 left out\n.* 2 ← words/);
  });

  it('lets no word of a user move the cursor', () => {
    expect(reportText(reportWith(hostile))).not.toMatch(/[\p{Cs}\u202e]|\p{Cc}(?<!\n)/u);
  });

  it('says when it was stopped', () => {
    expect(reportText({ ...reportWith('x', 'passed'), stopped: true, total: 7 })).toMatch(
      /stopped after 1 of 7 cases$/,
    );
  });

  it('has no case in full when all passed', () => {
    const text = reportText(reportWith('x', 'passed'));
    expect(text.startsWith('reads')).toBe(true);
    expect(allCases(reportWith('x', 'passed')).length).toBe(1);
  });
});
