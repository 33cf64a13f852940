import { placeOf } from '../model.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const authenticatedNeedsIo = characteristicRule<{ name: string; need: string }>(
  {
    code: 'authenticated-needs-io',
    severity: 'note',
    title: 'Authenticated pairing needs something to show or to press',
    why: 'A board without display, keypad or another channel can only pair by just works, which gives no authentication: such a value can then never be reached.',
    source: 'Core Vol 3 Part H 2.3.5.1',
    bad: characteristics(`
id: lock
label: Lock code
type: uint16
range: [0, 9999]
access: [write]
needs: authenticated`),
    good: characteristics(`
id: lock
label: Lock code
type: uint16
range: [0, 9999]
access: [write]
needs: encrypted`),
    message: ({ name, need }) =>
      `\`${name}\` needs a link that is \`${need}\`, which a board without display or keypad cannot make`,
    hint: () => 'make sure that the board can show or take a passkey, or write `needs: encrypted`',
  },
  (characteristic, report) => {
    const { needs, where, id } = characteristic;
    // Each level includes those before it, so secure connections are authenticated ones here.
    const need = [needs.read, needs.write, needs.subscribe].find(
      (word) => word === 'authenticated' || word === 'secure-connections',
    );
    if (need !== undefined) report(placeOf(where, 'needs'), { name: id, need });
  },
);
