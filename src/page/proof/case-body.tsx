import type { JSX } from 'preact';
import { reportCase, type ReportCase } from '../../proof/report.ts';
import type { CaseResult } from '../../proof/verdict.ts';
import { fileName } from '../stores/document.ts';
import { proofRun } from '../stores/proof.ts';
import { goToPlace } from '../stores/view.ts';
import { ExchangeTable } from './exchange-table.tsx';
import { excerptOf } from './excerpt.ts';
import { Prose } from './prose.tsx';
import { isOfOlderText, provedLines } from './run-facts.ts';

/** A case in full: expected and seen, where the contract says so, and what crossed. */
export function CaseBody({ one }: { readonly one: CaseResult }): JSX.Element | null {
  const table = proofRun.value?.table;
  if (table === undefined) return null;
  const told = reportCase(one, table, provedLines.value);
  return (
    <div class="proof-body">
      <Sides told={told} />
      <Place told={told} />
      <ExchangeTable lines={told.exchange} />
    </div>
  );
}

/** Where the two do not agree they meet in a hatch of both inks, with a word. */
function Sides({ told }: { readonly told: ReportCase }): JSX.Element {
  const disagrees = told.verdict === 'failed';
  return (
    <div class={disagrees ? 'proof-sides proof-sides-disagree' : 'proof-sides'}>
      <div class="proof-side">
        <h4>Expected</h4>
        <p>
          <Prose text={told.expected} />
        </p>
      </div>
      {disagrees && (
        <div class="proof-hatch">
          <span>▲ differs</span>
        </div>
      )}
      <div class="proof-side">
        <h4>Seen</h4>
        <p>
          <Prose text={told.seen} />
        </p>
      </div>
    </div>
  );
}

function Place({ told }: { readonly told: ReportCase }): JSX.Element {
  return (
    <div class="proof-place">
      <p>
        <span>
          <bdi>{fileName.value}</bdi>, line {told.place.line}
        </span>
        {isOfOlderText.value ? (
          <span>The contract has changed since: run the proof again to be led to the line.</span>
        ) : (
          <button
            type="button"
            onClick={() => {
              goToPlace(told.range);
            }}
          >
            Show in the contract
          </button>
        )}
      </p>
      <pre tabIndex={0} aria-label="The contract’s words">
        {excerptOf(provedLines.value, told.place).map(({ line, text }) => (
          <span key={line} class="proof-place-line">
            <span class="proof-place-number">{line}</span>
            <bdi>{text}</bdi>
          </span>
        ))}
      </pre>
    </div>
  );
}
