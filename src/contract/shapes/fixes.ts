import type { Fix } from '../../base/finding.ts';
import type { SourceRange } from '../../base/text-range.ts';
import { plainType } from '../tree.ts';

/** The fix that writes `word` at a place; none when there is no word to write. */
export function writeInstead(at: SourceRange, word: string | undefined): readonly Fix[] {
  return word === undefined ? [] : [{ title: `Write \`${word}\``, edits: [{ at, text: word }] }];
}

/** As {@link writeInstead}, for a text that may need quotes to stay one. */
export function writeText(at: SourceRange, text: string | undefined): readonly Fix[] {
  if (text === undefined) return [];
  const isPlain =
    plainType(text) === 'text' && /^[\p{L}\p{N}][\p{L}\p{N} ._/²³°-]*$/u.test(text) && !text.endsWith(' ');
  return writeInstead(at, isPlain ? text : JSON.stringify(text));
}
