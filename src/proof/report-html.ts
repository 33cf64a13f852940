import { printable } from '../base/render-finding.ts';
import {
  allCases,
  caution,
  countWords,
  needsAttention,
  sentence,
  type ExchangeLine,
  type Report,
  type ReportCase,
  type ReportFamily,
} from './report.ts';
import { reportStyle } from './report-html-style.ts';
import type { VerdictWord } from './verdict.ts';
import { count, timeWords } from './words.ts';

/**
 * The proof as one HTML page for people: no scripts, nothing loaded from elsewhere, light and dark, fit to be printed. What
 * needs attention stands first and in full. The same report always gives the same octets.
 */
export function reportHtml(report: Report): string {
  const attention = allCases(report).filter(needsAttention);
  const title = `${report.board}: proof of ${report.file}`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>${text(title)}</title>
<style>${reportStyle}</style>
</head>
<body>
${head(report)}
<main>
${summary(report, attention.length > 0)}
${strip(report)}
${attention.length === 0 ? '' : `<h2 id="attention">What needs attention</h2>\n${attention.map((one) => attentionCase(report, one)).join('\n')}`}
<h2>The cases one by one</h2>
${report.families.map(familyDetails).join('\n')}
</main>
${foot(report)}
</body>
</html>
`;
}

function head({ board, file, link }: Report): string {
  return `<header>
<div><h1>${text(board)}</h1><p class="soft">Proof of ${text(file)}</p></div>
<div class="line" role="img" aria-label="${text(`The board was reached through: ${link}`)}">
<span class="end"><span class="sq"></span>board</span><i></i><span class="small">${text(link)}</span><i></i><span class="end">central<span class="ci"></span></span>
</div>
</header>`;
}

function summary(report: Report, attention: boolean): string {
  const { counts } = report;
  const figures = [
    ['Passed', counts.passed],
    ['Failed', counts.failed],
    ['Inconclusive', counts.inconclusive],
    ['Not reachable', counts.notReachable],
  ] as const;
  return `<div class="figures">
${figures.map(([label, n]) => `<p class="figure${n === 0 ? ' none' : ''}"><span>${label}</span><b>${n}</b></p>`).join('\n')}
</div>
<p class="sentence">${text(sentence(report))}${attention ? ' <a href="#attention">See what needs attention.</a>' : ''}</p>`;
}

const marks: Readonly<Record<VerdictWord, string>> = {
  passed: '',
  failed: '▲',
  'not-reachable': '',
  inconclusive: '?',
};

/** One mark for each case, as on a test strip; those that need attention lead to where they are told. */
function strip({ families }: Report): string {
  const row = ({ family, title, counts, cases }: ReportFamily): string => `<tr>
<th scope="row">${family}</th><td class="asks">${text(title)}</td>
<td class="m"><div class="marks" aria-hidden="true">${cases.map(mark).join('')}</div></td>
<td class="count">${text(countWords(counts))}</td>
</tr>`;
  return `<table class="strip"><tbody>\n${families.map(row).join('\n')}\n</tbody></table>`;
}

function mark(one: ReportCase): string {
  const attributes = `class="${one.verdict}" title="${text(`${one.id}: ${verdictWords(one)}`)}"`;
  return needsAttention(one)
    ? `<a ${attributes} tabindex="-1" href="#${anchor(one)}">${marks[one.verdict]}</a>`
    : `<span ${attributes}></span>`;
}

function attentionCase(report: Report, one: ReportCase): string {
  const { line, column } = one.place;
  return `<article class="case" id="${anchor(one)}">
<header><span class="verdict">▲ ${verdictWords(one)}</span><h3>${prose(one.about)}</h3><code class="soft">${text(one.id)}</code></header>
${sides(one)}
<div><p class="small soft">${text(`${report.file}, line ${line}, column ${column}`)}</p>
<pre>${entityLines(report, one).join('\n')}</pre></div>
${exchange(one.exchange, one.exchange.length)}
</article>`;
}

/** Lines of the contract shown with a case. */
const mostLines = 12;

/** The entity the case comes from: its first line, and those that are indented as its keys are. */
function entityLines({ lines }: Report, { place }: ReportCase): readonly string[] {
  const shown: string[] = [];
  for (let line = place.line; line <= lines.lineCount && shown.length < mostLines; line++) {
    const code = lines.lineText(line);
    const within = code.search(/\S/) >= place.column - 1;
    if (line > place.line && !within) break;
    const number = String(line).padStart(String(place.line + mostLines).length);
    shown.push(`<span class="soft">${number}</span>  ${text(code.slice(0, longestLine))}`);
  }
  return shown;
}

/** Characters of one line of the contract shown. */
const longestLine = 160;

function sides({ expected, seen, verdict }: ReportCase): string {
  const disagrees = verdict === 'failed' ? ' seen' : '';
  return `<div class="sides"><div class="side"><span>Expected</span><p>${prose(expected)}</p></div>
<div class="side${disagrees}"><span>Seen</span><p>${prose(seen)}</p></div></div>`;
}

/** Lines of the exchange shown of a case that passed. */
const shownOfPassed = 8;

function familyDetails({ family, title, counts, cases }: ReportFamily): string {
  return `<details class="family"><summary>${family} <span class="soft small">${text(`${title} ${countWords(counts)}`)}</span></summary>
<div>
${cases.map(oneCase).join('\n')}
</div></details>`;
}

function oneCase(one: ReportCase): string {
  return `<details class="one"><summary><span class="mono">${text(one.id)}</span><span class="soft">${text(one.about)}</span><span class="verdict">${verdictWords(one)}</span></summary>
<div>${sides(one)}
${exchange(one.exchange, shownOfPassed)}</div></details>`;
}

/** The last `most` lines. */
function exchange(all: readonly ExchangeLine[], most: number): string {
  if (all.length === 0) return '<p class="small soft">Nothing happened.</p>';
  const shown = all.slice(-most);
  const before = all.length - shown.length;
  const several = all.some((line) => line.kind === 'pdu' && line.connection > 1);
  const rest = before > 0 ? `<p class="small soft">${before} before these.</p>\n` : '';
  return `${rest}<table class="exchange"><thead><tr><th class="t">Time</th><th>Where</th><th>What it says</th><th>Octets</th></tr></thead><tbody>
${shown.map((line) => exchangeRow(line, several)).join('\n')}
</tbody></table>`;
}

/** Packets in the ink of the air, the console's words in the ink of the board. */
function exchangeRow(line: ExchangeLine, several: boolean): string {
  if (line.kind === 'left-out') return `<tr><td colspan="4" class="soft">${line.count} more left out</td></tr>`;
  const time = `<td class="t soft">${timeWords(line.at)}</td>`;
  if (line.kind === 'word') {
    const ink = line.by === 'console' ? ' b' : ' l';
    return `<tr>${time}<td class="w${ink}">${line.by}</td><td class="d" colspan="2">${prose(line.about)}</td></tr>`;
  }
  const which = several ? ` ${line.connection}` : '';
  const way = line.from === 'board' ? `board → central${which}` : `central${which} → board`;
  const octets = line.hex.replace(/(..)(?=.)/g, '$1 ');
  return `<tr>${time}<td class="w a">${way}</td><td class="d">${prose(line.about)}</td><td class="h mono">${octets}</td></tr>`;
}

function foot({ seed, total, databaseHash }: Report): string {
  return `<footer>
<p><b>▲ Caution.</b> ${text(caution)}</p>
<p class="small soft">${count(total, 'case')}, seed ${seed}. Database hash <span class="mono">${databaseHash}</span>. Times are those of the link’s clock. ■ is what the board holds, as its console tells; ● is what crossed the air.</p>
</footer>`;
}

function verdictWords({ verdict, bug }: ReportCase): string {
  if (bug) return 'failed by a mistake of this program';
  return verdict === 'not-reachable' ? 'not reachable' : verdict;
}

/** Ids hold lower case letters, digits, hyphens and slashes; whatever else one might hold becomes a hyphen. */
function anchor({ id }: ReportCase): string {
  return id.replace(/[^a-z0-9-]/g, '-');
}

/** A sentence, with the names that stand in backticks set as code. */
function prose(plain: string): string {
  return text(plain).replace(/`([^`]+)`/g, '<code>$1</code>');
}

/** Text between tags and in quoted attributes. Labels are the user's: nothing in them is a tag or moves the line. */
function text(plain: string): string {
  return printable(plain)
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/'/g, '&#39;');
}
