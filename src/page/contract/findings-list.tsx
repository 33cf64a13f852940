import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Finding, FindingDoc } from '../../base/finding.ts';
import { lineIndex, type LineIndex, type SourceRange } from '../../base/text-range.ts';
import { checked } from '../stores/contract.ts';
import { editor } from './editor/editor-handle.ts';
import { explanations } from './editor/explanations.ts';
import { countWords, sentence, severityMarks, severityWords, spansOf } from './finding-words.ts';

/** Findings that are listed; with more, the first are the ones to begin with. */
const mostListed = 100;

/** What was found in the contract, each with its remedy. */
export function FindingsList(): JSX.Element {
  const found = checked.value;
  if (found === undefined) return <p class="contract-told">The contract is being read.</p>;
  const { findings, text } = found;
  const lines = lineIndex(text);
  const more = findings.length - mostListed;
  return (
    <section class="contract-findings" aria-label="Findings">
      <p class="contract-count" role="status">
        {findings.length === 0 ? 'Nothing found: the contract is sound.' : countWords(findings)}
      </p>
      {findings.length === 0 ? null : (
        <ol>
          {findings.slice(0, mostListed).map((finding, i) => (
            <FindingEntry key={`${finding.code} ${i}`} finding={finding} lines={lines} />
          ))}
        </ol>
      )}
      {more > 0 ? <p class="contract-told">{more} more stand behind these.</p> : null}
    </section>
  );
}

function FindingEntry({ finding, lines }: { readonly finding: Finding; readonly lines: LineIndex }): JSX.Element {
  const { severity, message, hint, at, related, fixes, code } = finding;
  return (
    <li class={`contract-finding contract-${severity}`}>
      <span class="contract-mark" role="img" aria-label={severityWords[severity]}>
        {severityMarks[severity]}
      </span>
      <div>
        <p>
          <PlaceButton at={at} lines={lines} /> <Said text={sentence(message)} />
        </p>
        <p class="contract-remedy">
          <Said text={sentence(hint)} />
        </p>
        {related.map((other, i) => (
          <p key={i} class="contract-related">
            <PlaceButton at={other.at} lines={lines} /> <Said text={sentence(other.message)} />
          </p>
        ))}
        <div class="contract-acts">
          {fixes.map((fix) => (
            <button
              key={fix.title}
              type="button"
              onClick={() => {
                editor.peek()?.apply(fix);
              }}
            >
              <Said text={fix.title} />
            </button>
          ))}
          <Why code={code} />
        </div>
      </div>
    </li>
  );
}

/** A sentence with the contract's own words in mono. */
function Said({ text }: { readonly text: string }): JSX.Element {
  return <>{spansOf(text).map((part, i) => (part.code ? <code key={i}>{part.text}</code> : part.text))}</>;
}

function PlaceButton({ at, lines }: { readonly at: SourceRange; readonly lines: LineIndex }): JSX.Element {
  const { line, column } = lines.position(at.start);
  return (
    <button
      type="button"
      class="plain contract-place"
      aria-label={`${line}:${column}, show line ${line}`}
      onClick={() => {
        editor.peek()?.goTo(at);
      }}
    >
      {line}:{column}
    </button>
  );
}

/** The code whose reason is shown, and what is known of it. */
const shown = signal<{ readonly code: string; readonly doc: FindingDoc | 'coming' | 'failed' | undefined } | undefined>(
  undefined,
);

/** Why a finding matters, and whose rule it is; told when asked. */
function Why({ code }: { readonly code: string }): JSX.Element {
  const open = shown.value?.code === code ? shown.value : undefined;
  return (
    <>
      <button
        type="button"
        class="plain contract-why"
        aria-expanded={open !== undefined}
        aria-label={`Why ${code}`}
        onClick={() => {
          if (open === undefined) void showReason(code);
          else shown.value = undefined;
        }}
      >
        Why
      </button>
      <code class="contract-code-word">{code}</code>
      {open === undefined ? null : (
        <p class="contract-reason">
          <Said text={reasonWords(open.doc)} />
        </p>
      )}
    </>
  );
}

function reasonWords(doc: FindingDoc | 'coming' | 'failed' | undefined): string {
  if (doc === 'coming') return 'The reason is being fetched.';
  if (doc === 'failed') return 'The reason could not be fetched. Connect to the network once, then it stays here.';
  return doc === undefined ? '' : `${doc.why} Source: ${doc.source}.`;
}

async function showReason(code: string): Promise<void> {
  shown.value = { code, doc: 'coming' };
  const doc = await explanations().then(
    ({ findingDoc }) => findingDoc(code),
    () => 'failed' as const,
  );
  if (shown.peek()?.code === code) shown.value = { code, doc };
}
