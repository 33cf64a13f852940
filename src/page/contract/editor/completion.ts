import {
  autocompletion,
  completionStatus,
  pickedCompletion,
  snippet,
  startCompletion,
  type Completion,
  type CompletionContext,
  type CompletionResult,
} from '@codemirror/autocomplete';
import type { Extension } from '@codemirror/state';
import { EditorView } from '@codemirror/view';
import { lastGood } from '../../stores/contract.ts';
import { explanations } from './explanations.ts';
import { offersAt, type Offer } from './offers.ts';
import { placeAt } from './text-place.ts';

/** Offers what the contract language allows at the cursor. */
export const completion: Extension = [
  autocompletion({ override: [offer], icons: false, closeOnBlur: true }),
  // A list that scrolls can be reached without a pointer.
  EditorView.updateListener.of(({ state, view }) => {
    if (completionStatus(state) !== 'active') return;
    view.requestMeasure({
      read: () => view.dom.querySelector<HTMLElement>('.cm-tooltip-autocomplete > ul'),
      write: (list) => {
        if (list !== null) list.tabIndex = 0;
      },
    });
  }),
];

async function offer(context: CompletionContext): Promise<CompletionResult | null> {
  const text = context.state.doc.toString();
  const place = placeAt(text, context.pos);
  if (place === undefined) return null;
  const written = text.slice(place.from, context.pos);
  // Unasked, only while a word is written, or straight behind a key or in brackets.
  if (!context.explicit && written === '' && !/[:[{,] $/.test(text.slice(Math.max(0, context.pos - 2), context.pos)))
    return null;
  const { walk, waivable } = await explanations();
  const services = lastGood.peek()?.contract.services.map(({ id }) => id) ?? [];
  const offers = offersAt(walk, place, { services, codes: waivable });
  if (offers.length === 0) return null;
  return {
    from: place.from,
    to: Math.max(context.pos, place.kind === 'key' ? place.to : context.pos),
    options: offers.map((one, i) => completionOf(one, offers.length - i, text)),
    validFor: /^[\w-]*$/,
  };
}

function completionOf(one: Offer, rank: number, text: string): Completion {
  return {
    label: one.label,
    detail: one.detail,
    // The order is ours: what is required first, then as the language has it.
    boost: Math.min(99, rank),
    ...(one.about === '' ? {} : { info: () => infoOf(one.about) }),
    apply: (view, option, from, to) => {
      const isKey = one.kind === 'key';
      // The key's colon may stand there already.
      const put = isKey && /^[ \t]*:/.test(text.slice(to)) ? one.label : one.put;
      if (one.kind === 'form') snippet(put)(view, option, from, to);
      else {
        view.dispatch({
          changes: { from, to, insert: put },
          selection: { anchor: from + put.length },
          userEvent: 'input.complete',
          annotations: pickedCompletion.of(option),
        });
      }
      if (isKey && one.goOn) startCompletion(view);
    },
  };
}

function infoOf(about: string): HTMLElement {
  const element = document.createElement('div');
  element.textContent = about;
  return element;
}
