import type { JSX } from 'preact';
import type { CaseResult, VerdictWord } from '../../proof/verdict.ts';
import { timeWords } from '../../proof/words.ts';
import { proofRun } from '../stores/proof.ts';
import {
  browseFamily,
  browseVerdict,
  caseWords,
  findCases,
  listedCases,
  listedFamily,
  listedVerdict,
  mostShown,
  openCase,
  showMoreCases,
  toggleCase,
} from './browse.ts';
import { CaseBody } from './case-body.tsx';
import { Prose } from './prose.tsx';
import { verdictWords } from './verdict-words.ts';
import { askedFamilies } from './run-facts.ts';

const verdicts: readonly (readonly [VerdictWord, string])[] = [
  ['passed', 'passed'],
  ['failed', 'failed'],
  ['inconclusive', 'inconclusive'],
  ['not-reachable', 'not reachable'],
];

/** Every case that has run, passed ones too, found by family, verdict and words. */
export function CaseBrowser(): JSX.Element {
  return (
    <section class="proof-browser" aria-labelledby="proof-cases">
      <h2 id="proof-cases" tabIndex={-1}>
        The cases one by one
      </h2>
      {(proofRun.value?.results.length ?? 0) === 0 ? (
        <p class="proof-lead">
          Each case that has run will be listed here with what it expected, what it saw and every packet. Run proof, or
          one family of it, to fill the list.
        </p>
      ) : (
        <>
          <Filters />
          <CaseTable />
        </>
      )}
    </section>
  );
}

function Filters(): JSX.Element {
  return (
    <div class="proof-filters">
      <label>
        Words
        <input
          type="search"
          value={caseWords.value}
          placeholder="paddle"
          onInput={({ currentTarget }) => {
            findCases(currentTarget.value);
          }}
        />
      </label>
      <label>
        Family
        <select
          value={listedFamily.value ?? ''}
          onChange={({ currentTarget }) => {
            browseFamily(askedFamilies.find((family) => family === currentTarget.value));
          }}
        >
          <option value="">all</option>
          {askedFamilies.map((family) => (
            <option key={family} value={family}>
              {family}
            </option>
          ))}
        </select>
      </label>
      <label>
        Verdict
        <select
          value={listedVerdict.value ?? ''}
          onChange={({ currentTarget }) => {
            browseVerdict(verdicts.find(([verdict]) => verdict === currentTarget.value)?.[0]);
          }}
        >
          <option value="">any</option>
          {verdicts.map(([verdict, words]) => (
            <option key={verdict} value={verdict}>
              {words}
            </option>
          ))}
        </select>
      </label>
    </div>
  );
}

function CaseTable(): JSX.Element {
  const all = listedCases.value;
  if (all.length === 0) return <p class="proof-lead">No case that has run is like that.</p>;
  const left = all.length - mostShown.value;
  return (
    <>
      <table class="proof-cases">
        <thead>
          <tr>
            <th scope="col">Case</th>
            <th scope="col">What is done</th>
            <th scope="col">Verdict</th>
            <th scope="col" class="proof-cases-time">
              Took
            </th>
          </tr>
        </thead>
        {all.slice(0, mostShown.value).map((one) => (
          <CaseRows key={one.id} one={one} open={openCase.value === one.id} />
        ))}
      </table>
      {left > 0 && (
        <button type="button" onClick={showMoreCases}>
          Show more of the {left} others
        </button>
      )}
    </>
  );
}

function CaseRows({ one, open }: { readonly one: CaseResult; readonly open: boolean }): JSX.Element {
  return (
    <tbody class={open ? 'proof-cases-open' : undefined}>
      <tr>
        <th scope="row">
          <button
            type="button"
            class="plain mono"
            aria-expanded={open}
            onClick={() => {
              toggleCase(one.id);
            }}
          >
            {one.id}
          </button>
        </th>
        <td>
          <Prose text={one.about} />
        </td>
        <td class="proof-verdict">{verdictWords(one)}</td>
        <td class="proof-cases-time">{timeWords(one.took)}</td>
      </tr>
      {open && (
        <tr>
          <td colSpan={4}>
            <CaseBody one={one} />
          </td>
        </tr>
      )}
    </tbody>
  );
}
