import { shapeRule } from './rule.ts';
import { characteristics } from './sample.ts';
import { shapePlace } from './shapes.ts';
import { replaceValue } from './edits.ts';

export const utf16OddLength = shapeRule<{ name: string; lengths: string; use: string }>(
  {
    code: 'utf16-odd-length',
    severity: 'warning',
    title: 'Odd length for UTF-16',
    why: 'UTF-16 comes in units of two octets, so an odd bound can never be reached.',
    source: 'RFC 2781 section 2',
    bad: characteristics(`
id: title
label: Title
type: utf16
length: [0, 15]
access: [read]`),
    good: characteristics(`
id: title
label: Title
type: utf16
length: [0, 16]
access: [read]`),
    message: ({ name, lengths }) => `\`${name}\` is utf16 with ${lengths} octets, but its length is always even`,
    hint: ({ use }) => `write \`length: ${use}\``,
  },
  (shape, report) => {
    const { type, name } = shape;
    if (type.kind !== 'text' || type.encoding !== 'utf16') return;
    const { minLength, maxLength } = type;
    if (minLength % 2 === 0 && maxLength % 2 === 0) return;
    const use = `[${minLength + (minLength % 2)}, ${maxLength + (maxLength % 2)}]`;
    const lengths = minLength === maxLength ? `${minLength}` : `${minLength} to ${maxLength}`;
    report(
      shapePlace(shape, 'length'),
      { name, lengths, use },
      { fixes: [replaceValue(shape.where, 'length', use, 'Make the length even')] },
    );
  },
);
