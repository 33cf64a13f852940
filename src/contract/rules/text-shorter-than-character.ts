import { replaceValue } from './edits.ts';
import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { count } from './words.ts';

/** Octets of the longest character, in both encodings. */
const longestCharacter = 4;

export const textShorterThanCharacter = shapeRule<{ name: string; length: number; encoding: string }>(
  {
    code: 'text-shorter-than-character',
    severity: 'note',
    title: 'Text shorter than one character may be',
    why: 'Lengths count octets: in UTF-8 `é` takes 2, `€` 3 and many signs 4, in UTF-16 at least 2; what does not fit is refused.',
    source: 'RFC 3629 section 3; RFC 2781 section 2.1',
    bad: characteristics(`
id: grade
label: Grade
type: utf8
length: [0, 2]
access: [read]`),
    good: characteristics(`
id: grade
label: Grade
type: utf8
length: [0, 4]
access: [read]`),
    message: ({ name, length, encoding }) =>
      `\`${name}\` holds ${count(length, 'octet')}, but one character of ${encoding} takes up to ${longestCharacter}`,
    hint: () => `allow ${longestCharacter} octets for each character, or use an enum if only a few texts are meant`,
  },
  (shape, report) => {
    const { type, name } = shape;
    if (type.kind !== 'text' || type.maxLength === 0 || type.maxLength >= longestCharacter) return;
    const encoding = type.encoding === 'utf8' ? 'UTF-8' : 'UTF-16';
    const use = `[${type.minLength}, ${longestCharacter}]`;
    report(
      shapePlace(shape, 'length'),
      { name, length: type.maxLength, encoding },
      { fixes: [replaceValue(shape.where, 'length', use, 'Make room for any character')] },
    );
  },
);
