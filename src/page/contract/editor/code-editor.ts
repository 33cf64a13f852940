import { closeBrackets, closeBracketsKeymap, completionKeymap } from '@codemirror/autocomplete';
import { defaultKeymap, history, historyKeymap, indentWithTab, isolateHistory } from '@codemirror/commands';
import { yamlLanguage } from '@codemirror/lang-yaml';
import { bracketMatching, indentOnInput, indentUnit } from '@codemirror/language';
import { lintGutter, lintKeymap } from '@codemirror/lint';
import { highlightSelectionMatches, search, searchKeymap } from '@codemirror/search';
import { EditorSelection, EditorState, type ChangeSpec, type Extension } from '@codemirror/state';
import {
  drawSelection,
  EditorView,
  highlightActiveLine,
  highlightActiveLineGutter,
  highlightSpecialChars,
  keymap,
  lineNumbers,
  tooltips,
} from '@codemirror/view';
import { effect } from '@preact/signals';
import { checked, contractText, editText } from '../../stores/contract.ts';
import { completion } from './completion.ts';
import { moveCursor, type EditorHandle } from './editor-handle.ts';
import { markFindings } from './finding-marks.ts';
import { hoverHelp } from './hover-help.ts';
import { keyInks } from './key-inks.ts';
import { lineEndOf, offsetInFile, rangeInLf, withLf, withLineEnd } from './line-ends.ts';
import { look } from './look.ts';
import { typeOver } from './type-over.ts';

/** The full editor: its element, to be put where it is shown, and what can be asked of it. */
export type CodeEditor = { readonly element: HTMLElement; readonly handle: EditorHandle };

/** Makes the editor with the cursor, or the selection, where it was in the plain field: offsets of the text with LF. */
export type MakeCodeEditor = (selection: { readonly anchor: number; readonly head: number }) => CodeEditor;

/**
 * Makes the editor of the contract's text. It lives as long as the page, so that undo reaches back over other views.
 * It stands in a shadow root, where its style sheets are adopted: the page's policy allows no `<style>` elements.
 */
export const makeCodeEditor: MakeCodeEditor = (selection) => {
  const element = document.createElement('div');
  element.className = 'contract-code';
  const root = element.attachShadow({ mode: 'open' });
  const doc = withLf(contractText.peek());
  const within = (offset: number): number => Math.min(offset, doc.length);
  const view = new EditorView({
    parent: root,
    root,
    state: EditorState.create({
      doc,
      selection: EditorSelection.single(within(selection.anchor), within(selection.head)),
      extensions,
    }),
  });
  effect(() => {
    takeText(view, withLf(contractText.value));
  });
  effect(() => {
    const found = checked.value;
    if (found?.text === contractText.value) markFindings(view, found);
  });
  // The list of findings grows at the editor's cost: where one writes stays in sight.
  new ResizeObserver(() => {
    if (view.hasFocus) view.dispatch({ effects: EditorView.scrollIntoView(view.state.selection.main.head) });
  }).observe(element);
  return { element, handle: handleOf(view) };
};

const extensions: Extension = [
  lineNumbers(),
  lintGutter(),
  highlightActiveLineGutter(),
  highlightSpecialChars(),
  history(),
  drawSelection(),
  indentUnit.of('  '),
  indentOnInput(),
  bracketMatching(),
  closeBrackets(),
  highlightActiveLine(),
  highlightSelectionMatches(),
  search(),
  yamlLanguage,
  keyInks,
  typeOver,
  completion,
  hoverHelp,
  look,
  keymap.of([
    ...closeBracketsKeymap,
    ...defaultKeymap,
    ...searchKeymap,
    ...historyKeymap,
    ...completionKeymap,
    ...lintKeymap,
    indentWithTab,
  ]),
  // Below the page's head, which would cover them.
  tooltips({ tooltipSpace: (view) => ({ ...wholeWindow(), top: view.dom.getBoundingClientRect().top }) }),
  EditorView.contentAttributes.of({
    'aria-label': 'Contract, in YAML',
    'aria-describedby': 'contract-keys',
    tabindex: '0',
    spellcheck: 'false',
    autocorrect: 'off',
    autocapitalize: 'off',
  }),
  EditorView.updateListener.of((update) => {
    const before = contractText.peek();
    if (update.docChanged) {
      const text = update.state.doc.toString();
      if (text !== withLf(before)) editText(withLineEnd(text, lineEndOf(before)));
    }
    if (update.docChanged || update.selectionSet)
      moveCursor(offsetInFile(contractText.peek(), update.state.selection.main.head));
  }),
];

function wholeWindow(): { left: number; right: number; bottom: number } {
  return { left: 0, right: innerWidth, bottom: innerHeight };
}

/** Brings the document to a text that came from elsewhere: only the part that differs changes, as a step of its own. */
function takeText(view: EditorView, text: string): void {
  const old = view.state.doc.toString();
  if (old === text) return;
  const shorter = Math.min(old.length, text.length);
  let start = 0;
  while (start < shorter && old[start] === text[start]) start += 1;
  let end = 0;
  while (end < shorter - start && old[old.length - 1 - end] === text[text.length - 1 - end]) end += 1;
  view.dispatch({
    changes: { from: start, to: old.length - end, insert: text.slice(start, text.length - end) },
    annotations: isolateHistory.of('full'),
  });
}

function handleOf(view: EditorView): EditorHandle {
  const place = (range: { readonly start: number; readonly end: number }): { from: number; to: number } => {
    const { start, end } = rangeInLf(contractText.peek(), range);
    const { length } = view.state.doc;
    return { from: Math.min(start, length), to: Math.min(end, length) };
  };
  return {
    goTo: (range) => {
      const { from, to } = place(range);
      // A whole entity would be a wall of selected text: its first line says where it is.
      const stop = Math.min(to, view.state.doc.lineAt(from).to);
      view.dispatch({
        selection: { anchor: stop, head: from },
        effects: EditorView.scrollIntoView(from, { y: 'center' }),
      });
      view.focus();
    },
    apply: ({ edits }) => {
      const text = contractText.peek();
      if (checked.peek()?.text !== text) return;
      const changes = edits.map(({ at, text: insert }): ChangeSpec => ({ ...place(at), insert: withLf(insert) }));
      view.dispatch({ changes, annotations: isolateHistory.of('full'), userEvent: 'input.fix' });
      view.focus();
    },
  };
}
