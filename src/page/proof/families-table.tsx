import type { JSX } from 'preact';
import { countWords } from '../../proof/report.ts';
import type { Family } from '../../proof/verdict.ts';
import { planted } from '../stores/board.ts';
import { proofRun, startProof } from '../stores/proof.ts';
import { browseFamily } from './browse.ts';
import { familyFacts, type FamilyFacts } from './run-facts.ts';
import { VerdictStrip } from './verdict-strip.tsx';

/** Every family with what it asks and what came of it; each can be run by itself. */
export function FamiliesTable(): JSX.Element {
  return (
    <section class="proof-families" aria-labelledby="proof-families">
      <h2 id="proof-families">The families of cases</h2>
      <table>
        <thead>
          <tr>
            <th scope="col">Family and its question</th>
            <th scope="col">Outcome</th>
            <th scope="col">
              <span class="unseen">Acts</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {familyFacts.value.map((facts) => (
            <FamilyRow key={facts.family} facts={facts} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function FamilyRow({ facts }: { readonly facts: FamilyFacts }): JSX.Element {
  const { family, title, planned, results, counts } = facts;
  return (
    <tr>
      <th scope="row">
        <span class="proof-family-name mono">{family}</span>
        <span class="proof-family-title">{title}</span>
      </th>
      <td>
        <VerdictStrip results={results} planned={planned} />
        <span class="proof-family-count">{results.length > 0 ? countWords(counts) : waitingWords(planned)}</span>
      </td>
      <td class="proof-family-acts">
        {results.length > 0 && (
          <button
            type="button"
            aria-label={`Show cases of ${family}`}
            onClick={() => {
              showCases(family);
            }}
          >
            Cases
          </button>
        )}
        <button
          type="button"
          aria-label={`Run ${family}`}
          onClick={() => {
            startProof([family], planted.value);
          }}
        >
          Run
        </button>
      </td>
    </tr>
  );
}

/** Of a family without results: still to run, not asked for, or with nothing to ask of this contract. */
function waitingWords(planned: number): string {
  const run = proofRun.value;
  if (planned > 0) return `${planned} to run`;
  if (run === undefined || run.planned.length === 0) return '';
  return run.only.length === 0 ? 'nothing to ask of this contract' : 'not run';
}

function showCases(family: Family): void {
  browseFamily(family);
  document.getElementById('proof-cases')?.focus();
}
