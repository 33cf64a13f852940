import { hoverTooltip, type Tooltip } from '@codemirror/view';
import type { Extension } from '@codemirror/state';
import { explanations } from './explanations.ts';
import { aboutParts } from './offers.ts';
import { placeAt } from './text-place.ts';

/** Tells what a key means when the pointer rests on it. */
export const hoverHelp: Extension = hoverTooltip(async (view, position): Promise<Tooltip | null> => {
  const text = view.state.doc.toString();
  const place = placeAt(text, position);
  if (place === undefined || place.kind === 'value') return null;
  const word = text.slice(place.from, place.to).trim();
  if (word === '') return null;
  const { walk } = await explanations();
  const about = walk.aboutKey(place.path, word, new Map([...place.keys].filter(([key]) => key !== word)));
  if (about === undefined) return null;
  return {
    pos: place.from,
    end: place.to,
    create: () => ({ dom: helpElement(word, about) }),
  };
});

function helpElement(key: string, about: string): HTMLElement {
  const { sentence, otherwise, example } = aboutParts(about);
  const element = document.createElement('div');
  element.className = 'help';
  element.append(paragraph(sentence));
  if (otherwise !== '') element.append(paragraph(`If left out: ${otherwise}.`, 'soft'));
  if (example !== undefined) {
    const line = paragraph('', 'soft');
    const code = document.createElement('code');
    code.textContent = `${key}: ${example}`;
    line.append(code);
    element.append(line);
  }
  return element;
}

function paragraph(text: string, kind = ''): HTMLElement {
  const element = document.createElement('p');
  element.textContent = text;
  element.className = kind;
  return element;
}
