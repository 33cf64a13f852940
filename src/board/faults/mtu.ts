import { readU16le } from '../../base/bytes.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { BoardEvent, Fault } from '../model.ts';
import { patchConnections, remembering, requestOf, stateAfter, stateBefore } from './plant.ts';

// Faults in how much one PDU may carry.

function mtuAsked(event: BoardEvent): number | undefined {
  const pdu = requestOf(event);
  return pdu?.[0] === opcode.exchangeMtuRequest && pdu.length === 3 ? readU16le(pdu, 1) : undefined;
}

export const mtuFaults: readonly Fault[] = [
  {
    name: 'mtu-ignored',
    about: 'The board agrees on a larger MTU and goes on with 23.',
    symptom: 'Texts are cut after 20 octets, though both sides could do more.',
    wrap: stateAfter(({ after }) => patchConnections(after, (each) => ({ ...each, mtu: 23 }))),
  },
  {
    name: 'mtu-shared',
    about: 'There is one MTU for all connections.',
    symptom: 'With a second client the first one gets packets that it cannot take.',
    wrap: stateAfter(({ event, after }) => {
      if (mtuAsked(event) === undefined || event.kind !== 'received') return after;
      const mtu = after.server.connections.get(event.connection)?.mtu;
      return patchConnections(after, (each) => ({ ...each, mtu: mtu ?? each.mtu }));
    }),
  },
  {
    name: 'mtu-of-server-used',
    about: "The board uses its own MTU, even where the client's is smaller.",
    symptom: 'Clients with little memory lose every long value.',
    wrap: stateAfter(({ table, event, after }) =>
      mtuAsked(event) === undefined || event.kind !== 'received'
        ? after
        : patchConnections(after, (each, id) =>
            id === event.connection ? { ...each, mtu: table.radio.connection.mtu } : each,
          ),
    ),
  },
  {
    name: 'mtu-below-23-accepted',
    about: 'An MTU below 23 that a client asks for is taken.',
    symptom: 'Discovery ends in the middle of a UUID.',
    wrap: stateAfter(({ event, after }) => {
      const asked = mtuAsked(event);
      if (asked === undefined || asked >= 23 || event.kind !== 'received') return after;
      return patchConnections(after, (each, id) =>
        id === event.connection ? { ...each, mtu: Math.max(asked, 6) } : each,
      );
    }),
  },
  {
    name: 'mtu-exchanged-twice',
    about: 'The MTU can be changed again and again in one connection.',
    symptom: 'A packet in flight is cut at the old size or the new one, by chance.',
    wrap: stateBefore((state, event) =>
      mtuAsked(event) === undefined ? state : patchConnections(state, (each) => ({ ...each, mtuExchanged: false })),
    ),
  },
  {
    name: 'mtu-kept-from-last-connection',
    about: 'A new connection begins with the largest MTU instead of 23.',
    symptom: 'The first long value of each connection is lost.',
    wrap: stateAfter(({ table, event, after }) =>
      event.kind === 'connected'
        ? patchConnections(after, (each, id) =>
            id === event.connection ? { ...each, mtu: table.radio.connection.mtu } : each,
          )
        : after,
    ),
  },
  {
    name: 'mtu-refused-after-loss',
    about: 'Once a link was lost, the MTU cannot be exchanged any more.',
    symptom: 'After the student has walked out of range and back, long texts are cut.',
    wrap: remembering(false, (inner, lost, [state, event, at]) => {
      const step = inner.step(state, event, at);
      const memory = lost || (event.kind === 'disconnected' && event.how === 'lost');
      if (event.kind !== 'connected' || !memory) return { step, memory };
      return {
        step: { ...step, state: patchConnections(step.state, (each) => ({ ...each, mtuExchanged: true })) },
        memory,
      };
    }),
  },
];
