import { setDiagnostics, type Diagnostic } from '@codemirror/lint';
import type { EditorView } from '@codemirror/view';
import type { Finding } from '../../../base/finding.ts';
import type { CheckedText } from '../../stores/contract.ts';
import { sentence, spansOf } from '../finding-words.ts';
import { editor } from './editor-handle.ts';
import { explanations } from './explanations.ts';
import { rangeInLf } from './line-ends.ts';

const severities = { error: 'error', warning: 'warning', note: 'info' } as const;

/** Marks the findings of a text in the editor that holds it. */
export function markFindings(view: EditorView, { text, findings }: CheckedText): void {
  const length = view.state.doc.length;
  const diagnostics = findings.map((finding): Diagnostic => {
    const { start, end } = rangeInLf(text, finding.at);
    return {
      from: Math.min(start, length),
      to: Math.min(end, length),
      severity: severities[finding.severity],
      message: finding.message,
      renderMessage: () => messageElement(finding),
      actions: finding.fixes.map((fix) => ({
        name: fix.title.replaceAll('`', ''),
        apply: () => {
          editor.peek()?.apply(fix);
        },
      })),
    };
  });
  view.dispatch(setDiagnostics(view.state, diagnostics));
}

/** What is wrong, what to do, and, when it has been fetched, why it matters and who says so. */
function messageElement(finding: Finding): HTMLElement {
  const element = document.createElement('div');
  element.className = 'help';
  const add = (text: string, kind: string): void => {
    const line = document.createElement('p');
    line.className = kind;
    for (const { code, text: part } of spansOf(text)) {
      const piece = document.createElement(code ? 'code' : 'span');
      piece.textContent = part;
      line.append(piece);
    }
    element.append(line);
  };
  add(sentence(finding.message), '');
  add(sentence(finding.hint), '');
  void explanations().then(
    ({ findingDoc }) => {
      const doc = findingDoc(finding.code);
      if (doc === undefined) return;
      add(doc.why, 'soft');
      add(`${finding.code} · ${doc.source}`, 'soft');
    },
    () => undefined,
  );
  return element;
}
