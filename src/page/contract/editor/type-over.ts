import type { Extension } from '@codemirror/state';
import { EditorView } from '@codemirror/view';

/**
 * Typing over a selection, done by the editor itself: the browser would keep the look of what it replaces in a `style`
 * attribute, which the page's policy forbids and complains of.
 */
export const typeOver: Extension = EditorView.domEventHandlers({
  beforeinput: (event, view) => {
    const { ranges, main } = view.state.selection;
    const text = event.data;
    if (event.inputType !== 'insertText' || text === null || main.empty || ranges.length > 1 || view.composing)
      return false;
    const { from, to } = main;
    const insert = (): ReturnType<typeof view.state.update> =>
      view.state.update({ ...view.state.replaceSelection(text), userEvent: 'input.type', scrollIntoView: true });
    const handlers = view.state.facet(EditorView.inputHandler);
    if (!handlers.some((handle) => handle(view, from, to, text, insert))) view.dispatch(insert());
    event.preventDefault();
    return true;
  },
});
