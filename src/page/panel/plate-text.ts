import { showTime } from '../../base/quantity.ts';
import type { Bytes } from '../../base/bytes.ts';
import type { Need } from '../../contract/model.ts';
import type { ValueDefinition } from '../../table/model.ts';
import { decode } from '../../values/codec.ts';
import { toPhysical } from '../../values/physical.ts';
import { showBytes } from '../../values/show.ts';
import { withUnit } from '../../values/show-number.ts';
import type { FloatType, IntegerType, Physical, ValueType } from '../../values/type.ts';
import { unbounded } from '../../values/unbounded.ts';
import { onOff } from './allowed-words.ts';
import { plateDigits } from './decimal.ts';

/** What octets mean; `undefined` when they are no value of the type. */
export function physicalOfBytes(type: ValueType, bytes: Bytes): Physical | undefined {
  const decoded = decode(type, bytes);
  return decoded.ok ? toPhysical(type, decoded.value) : undefined;
}

/** The digits of a number, or the name of a special one; `–` for octets that are none. */
export function figureText(type: IntegerType | FloatType, bytes: Bytes): string {
  const physical = physicalOfBytes(type, bytes);
  if (physical?.kind === 'number') return plateDigits(type, physical.value);
  return physical?.kind === 'special' ? physical.name : '–';
}

/** A value on one line beside its mark: `0.50 Hz`, `fluorescein`, `on`. */
export function sideText(type: ValueType, bytes: Bytes): string {
  const physical = physicalOfBytes(type, bytes);
  if (physical?.kind === 'number' && (type.kind === 'integer' || type.kind === 'float')) {
    return withUnit(plateDigits(type, physical.value), type.unit);
  }
  if (physical?.kind === 'text') return physical.value === '' ? 'empty' : `“${physical.value}”`;
  return type.kind === 'boolean' ? onOff(showBytes(type, bytes)) : showBytes(type, bytes);
}

/** Octets as a value in a sentence, also such as the contract forbids: without needless digits, and not too long. */
export function shortValue(type: ValueType, bytes: Bytes): string {
  const words = showBytes(unbounded(type), bytes);
  const characters = Array.from(type.kind === 'boolean' ? onOff(words) : words);
  return characters.length > 60 ? `${characters.slice(0, 59).join('')}…` : characters.join('');
}

/** `read · write · notify every 50 ms`. */
export function accessText({ access, notify }: Pick<ValueDefinition, 'access' | 'notify'>): string {
  return access
    .map((word) => {
      if ((word !== 'notify' && word !== 'indicate') || notify === undefined) return word.replaceAll('-', ' ');
      return notify.on.kind === 'every' ? `${word} every ${showTime(notify.on.period)}` : `${word} on change`;
    })
    .join(' · ');
}

const needWords: Readonly<Record<Need, string>> = {
  open: '',
  encrypted: 'an encrypted link',
  authenticated: 'a link with an authenticated key',
  'secure-connections': 'a link by LE Secure Connections',
};

/** `Write needs an encrypted link.`; empty where everybody may do everything. */
export function needsText({ access, needs }: Pick<ValueDefinition, 'access' | 'needs'>): string {
  const acts: readonly (readonly [string, Need, boolean])[] = [
    ['read', needs.read, access.includes('read')],
    ['write', needs.write, access.includes('write') || access.includes('write-without-response')],
    ['subscribe', needs.subscribe, access.includes('notify') || access.includes('indicate')],
  ];
  const wanting = acts.filter(([, need, possible]) => possible && need !== 'open');
  const needed = [...new Set(wanting.map(([, need]) => need))];
  const text = needed
    .map((need) => {
      const words = wanting.filter(([, one]) => one === need).map(([act]) => act);
      return `${words.join(' and ')} ${words.length > 1 ? 'need' : 'needs'} ${needWords[need]}`;
    })
    .join('; ');
  return text === '' ? '' : `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

/** What becomes of the value when the link is lost: `0 Hz within 2 s when the link is lost`; empty where nothing is said. */
export function linkLossText({ onLinkLoss, type, actuator }: ValueDefinition): string {
  switch (onLinkLoss.kind) {
    case 'set':
      return `${sideText(type, onLinkLoss.raw)} within ${showTime(onLinkLoss.within)} when the link is lost`;
    case 'keep':
      return 'Stays as it is when the link is lost';
    case 'unsaid':
      return actuator ? '▲ The contract does not say what becomes of it when the link is lost' : '';
  }
}
