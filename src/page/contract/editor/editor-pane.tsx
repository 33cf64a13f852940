import { effect, signal } from '@preact/signals';
import type { JSX } from 'preact';
import { contractText, editText } from '../../stores/contract.ts';
import { applyFix } from '../../stores/fixes.ts';
import { jump, type Jump } from '../../stores/view.ts';
import { editor, moveCursor, offerEditor, type EditorHandle } from './editor-handle.ts';
import type { CodeEditor, MakeCodeEditor } from './code-editor.ts';
import { lineEndOf, offsetInFile, rangeInLf, withLf, withLineEnd } from './line-ends.ts';

/** `waiting`: the full editor is on its way. `plain`: it could not be fetched; the plain field does. */
type Stage = { readonly kind: 'waiting' | 'plain' } | { readonly kind: 'full'; readonly editor: CodeEditor };

const stage = signal<Stage>({ kind: 'waiting' });
let asked = false;
let plainField: HTMLTextAreaElement | null = null;
let doneJump: Jump | undefined;

/** The contract's text to be edited: at once in a plain field, and in the full editor when it has come. */
export function EditorPane(): JSX.Element {
  fetchEditor();
  const now = stage.value;
  if (now.kind === 'full') {
    const { element } = now.editor;
    return (
      <div
        class="contract-full"
        ref={(place) => {
          if (place !== null && element.parentNode !== place) place.append(element);
        }}
      />
    );
  }
  return (
    <>
      <textarea
        class="contract-plain"
        aria-label="Contract, in YAML"
        spellcheck={false}
        autocomplete="off"
        autocapitalize="off"
        wrap="off"
        value={withLf(contractText.value)}
        ref={(field) => {
          plainField = field;
          if (field !== null) offerEditor(plainHandle(field));
        }}
        onInput={({ currentTarget }) => {
          editText(withLineEnd(currentTarget.value, lineEndOf(contractText.peek())));
        }}
        onSelect={({ currentTarget }) => {
          moveCursor(offsetInFile(contractText.peek(), currentTarget.selectionStart));
        }}
      />
      {now.kind === 'plain' ? (
        <p class="contract-told">
          ▲ The full editor could not be fetched; this plain field does the same work.{' '}
          <button type="button" class="plain" onClick={askAgain}>
            Try again
          </button>
        </p>
      ) : null}
    </>
  );
}

function askAgain(): void {
  asked = false;
  stage.value = { kind: 'waiting' };
}

function fetchEditor(): void {
  if (asked) return;
  asked = true;
  import('./code-editor.ts').then(
    ({ makeCodeEditor }) => {
      swapIn(makeCodeEditor);
    },
    () => {
      stage.value = { kind: 'plain' };
    },
  );
}

/** Puts the full editor where the plain field was: same text, same place, and the focus if it was there. */
function swapIn(make: MakeCodeEditor): void {
  const field = plainField;
  const hadFocus = field !== null && document.activeElement === field;
  const made = make({ anchor: field?.selectionStart ?? 0, head: field?.selectionEnd ?? 0 });
  const start = withLf(contractText.peek()).slice(0, field?.selectionStart ?? 0).length;
  offerEditor(made.handle);
  stage.value = { kind: 'full', editor: made };
  if (hadFocus) {
    queueMicrotask(() => {
      const at = offsetInFile(contractText.peek(), start);
      made.handle.goTo({ start: at, end: at });
    });
  }
}

function plainHandle(field: HTMLTextAreaElement): EditorHandle {
  return {
    goTo: (range) => {
      const { start, end } = rangeInLf(contractText.peek(), range);
      field.focus();
      field.setSelectionRange(start, end);
      const lines = field.value.slice(0, start).split('\n').length;
      field.scrollTop = Math.max(0, (lines - 4) * Number.parseFloat(getComputedStyle(field).lineHeight));
    },
    apply: applyFix,
  };
}

/** Goes where another view asked to go, as soon as there is an editor to do it. Returns how to stop. */
export function followJumps(): () => void {
  return effect(() => {
    const wanted = jump.value;
    const handle = editor.value;
    if (wanted === undefined || handle === undefined || wanted === doneJump) return;
    doneJump = wanted;
    // After the view has been drawn, so that there is something to scroll.
    requestAnimationFrame(() => {
      handle.goTo(wanted.range);
    });
  });
}
