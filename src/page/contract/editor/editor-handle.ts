import { signal, type ReadonlySignal } from '@preact/signals';
import type { Fix } from '../../../base/finding.ts';
import type { SourceRange } from '../../../base/text-range.ts';

/** What other parts of the view ask of the editor, be it the plain field or the full one. Places are of the file's text. */
export type EditorHandle = {
  /** Marks the place, brings it into sight and takes the focus. */
  goTo(range: SourceRange): void;
  /** Applies a fix as one step that can be undone. */
  apply(fix: Fix): void;
};

const editorNow = signal<EditorHandle | undefined>(undefined);
const cursorNow = signal(0);

export const editor: ReadonlySignal<EditorHandle | undefined> = editorNow;

/** Where the cursor stands, an offset of the file's text. */
export const cursor: ReadonlySignal<number> = cursorNow;

export function offerEditor(handle: EditorHandle | undefined): void {
  editorNow.value = handle;
}

export function moveCursor(offset: number): void {
  cursorNow.value = offset;
}
