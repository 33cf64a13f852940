import { countOf } from '../../values/refusal.ts';
import { showRange } from '../../values/show-number.ts';
import type { ValueType } from '../../values/type.ts';

const mostNames = 8;

/** What a board takes, for a person: `0 to 4 Hz`, `none, fluorescein, rhodamine`, `0 to 60 octets`. */
export function allowedWords(type: ValueType): string {
  switch (type.kind) {
    case 'integer':
      return showRange(type.range, type.unit);
    case 'float':
      return type.range === undefined ? 'any number' : showRange(type.range, type.unit);
    case 'boolean':
      return 'true and false';
    case 'enum':
      return list(type.names.map(({ name }) => name));
    case 'flags':
      return list(type.names.map(({ name }) => name));
    case 'text':
    case 'bytes':
      return type.minLength === type.maxLength
        ? countOf(type.maxLength, 'octet')
        : `${type.minLength} to ${countOf(type.maxLength, 'octet')}`;
    case 'struct':
      return type.fields.map(({ label, type: part }) => `${label} ${allowedWords(part)}`).join('; ');
    case 'array': {
      const count =
        type.minCount === type.maxCount
          ? countOf(type.maxCount, 'item')
          : `${type.minCount} to ${countOf(type.maxCount, 'item')}`;
      return `${count}, each ${allowedWords(type.element)}`;
    }
  }
}

/** A boolean as it stands on a switch. */
export function onOff(word: string): string {
  return word === 'true' ? 'on' : word === 'false' ? 'off' : word;
}

function list(names: readonly string[]): string {
  return [...names.slice(0, mostNames), ...(names.length > mostNames ? ['…'] : [])].join(', ');
}
