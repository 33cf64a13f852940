import type { JSX } from 'preact';
import { toHex } from '../../base/bytes.ts';
import { printable } from '../../base/render-finding.ts';
import { caution, sentence } from '../../proof/report.ts';
import { downloadText } from '../files/save-file.ts';
import { planted } from '../stores/board.ts';
import { fileName } from '../stores/document.ts';
import { proofReport, proofRun, startProof, stopProof, type ProofRun } from '../stores/proof.ts';
import { goToPlace } from '../stores/view.ts';
import { say } from '../stores/words.ts';
import type { ReportForm } from '../worker/protocol.ts';
import { ProgressScale } from './progress-scale.tsx';
import { Prose } from './prose.tsx';
import { attention, counts, currentCase, isOfOlderText, isOfOtherFaults, isUnderWay } from './run-facts.ts';
import { verdictMeanings } from './verdict-words.ts';

/** The sheet at the head: what is proved, how far it is, what came out. */
export function Certificate(): JSX.Element {
  const run = proofRun.value;
  return (
    <section class="proof-certificate" aria-labelledby="proof-title">
      <div class="proof-title">
        <h2 id="proof-title">Proof of the board against its contract</h2>
        <RunAct />
      </div>
      {run === undefined ? <Foreword /> : <Course run={run} />}
    </section>
  );
}

/** What will be there, before the first proof. */
function Foreword(): JSX.Element {
  return (
    <p class="proof-lead">
      Run proof asks a board of this contract everything the contract says, case by case: that it is found, that values
      are what they should be, that it refuses what it must, that it is safe when the link is lost. The board is a
      virtual one on a clock of its own; the one on the panel is left alone. What was asked, expected and seen will
      stand here.
    </p>
  );
}

/** One button in one place: who pressed Run with the keyboard can stop at once. */
function RunAct(): JSX.Element {
  const state = proofRun.value?.state;
  const act = isUnderWay.value ? stopProof : runAll;
  const words = state === 'stopping' ? 'Stopping' : isUnderWay.value ? 'Stop' : 'Run proof';
  return (
    <button type="button" class="proof-run" onClick={act}>
      {words}
    </button>
  );
}

function runAll(): void {
  startProof([], planted.value);
}

function Course({ run }: { readonly run: ProofRun }): JSX.Element {
  if (run.state === 'refused') return <Refused run={run} />;
  const { results, planned } = run;
  return (
    <>
      <Subject run={run} />
      <ProgressScale />
      <p class="proof-now">
        {isUnderWay.value ? (
          <CurrentCase />
        ) : (
          <span role="status">
            {run.state === 'stopped'
              ? `Stopped after ${results.length} of ${planned.length} cases; what was proved so far is kept.`
              : `${results.length} of ${planned.length} cases run.`}
          </span>
        )}
      </p>
      <Figures />
      {!isUnderWay.value && <Outcome run={run} />}
      <Meanings />
      <Downloads />
    </>
  );
}

/** What was proved, as the head of a printed certificate names it. */
function Subject({ run }: { readonly run: ProofRun }): JSX.Element {
  const { table, faults, only } = run;
  return (
    <dl class="proof-subject">
      <div>
        <dt>Board</dt>
        <dd>
          <Prose text={table?.board.name ?? '…'} />
        </dd>
      </div>
      <div>
        <dt>Contract</dt>
        <dd>
          <bdi>{printable(fileName.value)}</bdi>
          {isOfOlderText.value && ', changed since this proof'}
        </dd>
      </div>
      <div>
        <dt>Link</dt>
        <dd>virtual board, in memory</dd>
      </div>
      <div>
        <dt>Cases</dt>
        <dd>{only.length === 0 ? 'all families' : `family ${only.join(', ')}`}</dd>
      </div>
      <div>
        <dt>Planted faults</dt>
        <dd>
          {faults.length === 0 ? 'none' : faults.join(', ')}
          {isOfOtherFaults.value && ', changed since this proof'}
        </dd>
      </div>
      <div class="proof-subject-hash">
        <dt>Database hash</dt>
        <dd class="mono">{table === undefined ? '…' : toHex(table.databaseHash.specification)}</dd>
      </div>
    </dl>
  );
}

/** Follows at most ten times a second; a screen reader asks the scale instead. */
function CurrentCase(): JSX.Element {
  const current = currentCase.value;
  const run = proofRun.value;
  if (current === undefined || run === undefined) return <span>Deriving the cases from the contract.</span>;
  return (
    <>
      <span class="proof-now-count">
        {run.results.length} of {run.planned.length}
      </span>{' '}
      <code>{current.id}</code> <Prose text={current.about} />
    </>
  );
}

function Figures(): JSX.Element {
  const { passed, failed, inconclusive, notReachable } = counts.value;
  const figures = [
    ['Passed', passed],
    [failed === 0 ? 'Failed' : '▲ Failed', failed],
    ['Inconclusive', inconclusive],
    ['Not reachable', notReachable],
  ] as const;
  return (
    <dl class="proof-figures">
      {figures.map(([label, n], i) => (
        <div key={i} class={n === 0 ? 'proof-figure proof-figure-none' : 'proof-figure'}>
          <dt>{label}</dt>
          <dd>{n}</dd>
        </div>
      ))}
    </dl>
  );
}

function Outcome({ run }: { readonly run: ProofRun }): JSX.Element {
  const total = run.planned.length;
  const stopped = run.state === 'stopped';
  const { failed, inconclusive } = counts.value;
  const proved = !stopped && failed === 0 && inconclusive === 0;
  return (
    <p class={failed > 0 ? 'proof-sentence proof-sentence-failed' : 'proof-sentence'}>
      {run.only.length > 0 && proved
        ? 'The board does what its contract says in what was asked; the other families were not run.'
        : sentence({ proved, stopped, total, counts: counts.value })}
      {attention.value.length > 0 && ' What needs attention stands below, the cases in full.'}
    </p>
  );
}

function Meanings(): JSX.Element | null {
  const { inconclusive, notReachable } = counts.value;
  if (inconclusive + notReachable === 0) return null;
  return (
    <ul class="proof-meanings">
      {inconclusive > 0 && <li>{verdictMeanings.inconclusive}</li>}
      {notReachable > 0 && <li>{verdictMeanings['not-reachable']}</li>}
    </ul>
  );
}

const forms: readonly {
  readonly form: ReportForm;
  readonly name: string;
  readonly end: string;
  readonly type: string;
}[] = [
  { form: 'html', name: 'HTML report', end: 'html', type: 'text/html' },
  { form: 'junit', name: 'JUnit XML', end: 'xml', type: 'application/xml' },
  { form: 'json', name: 'JSON', end: 'json', type: 'application/json' },
];

function Downloads(): JSX.Element | null {
  if (isUnderWay.value) return null;
  return (
    <div class="proof-downloads">
      <span>Download</span>
      {forms.map(({ form, name, end, type }) => (
        <button key={form} type="button" onClick={() => void download(form, end, type)}>
          {name}
        </button>
      ))}
      <p class="proof-caution">
        <strong>▲ Caution.</strong> {caution}
      </p>
    </div>
  );
}

async function download(form: ReportForm, end: string, type: string): Promise<void> {
  const text = await proofReport(form, fileName.peek());
  if (text === undefined) {
    say('refused', 'There is no finished proof to report on. Run the proof first.');
    return;
  }
  const name = fileName.peek().replace(/\.ya?ml$/i, '');
  downloadText(`${name}-proof.${end}`, text, type);
}

/** A contract with errors is nothing a board could be held to. */
function Refused({ run }: { readonly run: ProofRun }): JSX.Element {
  const errors = run.findings.filter(({ severity }) => severity === 'error');
  return (
    <div class="proof-refused" role="alert">
      <p>
        ▲ The contract has {errors.length === 1 ? 'an error' : `${errors.length} errors`}: there is nothing yet that a
        board could be proved against. Mend what is listed, then run the proof again.
      </p>
      <ul>
        {errors.slice(0, 5).map(({ code, message, at }, i) => (
          <li key={i}>
            <Prose text={message} /> <code>{code}</code>{' '}
            {!isOfOlderText.value && (
              <button
                type="button"
                onClick={() => {
                  goToPlace(at);
                }}
              >
                Show in the contract
              </button>
            )}
          </li>
        ))}
      </ul>
    </div>
  );
}
