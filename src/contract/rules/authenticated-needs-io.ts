import { everyCharacteristic, placeOf } from '../model.ts';
import { isWeaker } from './access.ts';
import { contractRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const authenticatedNeedsIo = contractRule<{ name: string; need: string }>(
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
  (contract, report) => {
    // Each level includes those before it, so secure connections are authenticated ones here.
    const strict = everyCharacteristic(contract).flatMap(({ characteristic: { id, needs, where } }) => {
      const need = [needs.read, needs.write, needs.subscribe].find((word) => !isWeaker(word, 'authenticated'));
      return need === undefined ? [] : [{ name: id, need, at: placeOf(where, 'needs') }];
    });
    const [first, ...rest] = strict;
    if (first === undefined) return;
    // One board, one display: once is enough.
    const related = rest.map(({ name, at }) => ({ message: `\`${name}\` needs it too`, at }));
    report(first.at, first, { related });
  },
);
