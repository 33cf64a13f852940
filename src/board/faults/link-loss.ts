import { equalBytes } from '../../base/bytes.ts';
import { us } from '../../base/quantity.ts';
import type { OnLinkLoss } from '../../contract/model.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import { parseConsoleLine } from '../console.ts';
import { noFailsafes } from '../failsafe.ts';
import type { BoardEffect, BoardState, Fault } from '../model.ts';
import { mapValues, remembering, setValueIn, stateAfter, stateBefore, withOctet } from './plant.ts';

// Faults in what happens when a client goes away, and when the next one comes.

function failsafes(change: (rule: Extract<OnLinkLoss, { kind: 'set' }>, definition: ValueDefinition) => OnLinkLoss) {
  return (table: Table): Table =>
    mapValues(table, (definition) =>
      definition.onLinkLoss.kind === 'set'
        ? { ...definition, onLinkLoss: change(definition.onLinkLoss, definition) }
        : definition,
    );
}

/** Somebody who is not there: while the board counts it among its clients, no failsafe starts. */
const nobody = -1;

function withPhantom(state: BoardState, here: boolean): BoardState {
  const clients = new Map(state.clients);
  if (here) clients.set(nobody, { peer: '', since: us(0) });
  else clients.delete(nobody);
  return { ...state, clients };
}

function isAdvertisingNote(effect: BoardEffect): boolean {
  const line = effect.kind === 'print' ? parseConsoleLine(effect.line) : undefined;
  return line?.kind === 'note' && line.event.kind === 'advertising';
}

export const linkLossFaults: readonly Fault[] = [
  {
    name: 'failsafe-missing',
    about: 'Nothing happens when the link is lost.',
    symptom: 'The paddle runs on after the phone has left the room.',
    table: failsafes(() => ({ kind: 'unsaid' })),
  },
  {
    name: 'failsafe-late',
    about: 'The failsafe value comes ten seconds later than the contract says.',
    symptom: 'The paddle stops long after everybody has looked away.',
    table: failsafes((rule) => ({ ...rule, within: us(rule.within + 10_000_000) })),
  },
  {
    name: 'failsafe-value-wrong',
    about: 'After a lost link the board sets the value of its power-up instead of the failsafe value.',
    symptom: 'The paddle slows down instead of stopping.',
    table: failsafes((rule, { start, type }) => {
      if (!equalBytes(start, rule.raw)) return { ...rule, raw: start };
      // A value that starts at its failsafe value is set to the next code instead.
      return type.kind === 'integer' || type.kind === 'boolean'
        ? { ...rule, raw: withOctet(rule.raw, 0, (octet) => octet ^ 1) }
        : rule;
    }),
  },
  {
    name: 'failsafe-only-after-goodbye',
    about: 'The failsafe runs when a client says goodbye, but not when its link is lost.',
    symptom: 'Switching the phone off stops the paddle, walking away with it does not.',
    wrap: (inner) => ({
      start: (at) => inner.start(at),
      step(state, event, at) {
        if (event.kind !== 'disconnected' || event.how !== 'lost') return inner.step(state, event, at);
        const step = inner.step(withPhantom(state, true), event, at);
        return { ...step, state: withPhantom(step.state, false) };
      },
    }),
  },
  {
    name: 'failsafe-stopped-by-reconnecting',
    about: 'A failsafe that is due is forgotten when any client connects.',
    symptom: 'A phone that comes and goes keeps the paddle running for ever.',
    wrap: stateBefore((state, event) => (event.kind === 'connected' ? { ...state, failsafes: noFailsafes } : state)),
  },
  {
    name: 'kept-value-reset',
    about: 'Values that the contract keeps on link loss go back to their start.',
    symptom: 'The light goes out whenever a student disconnects.',
    wrap: stateAfter(({ table, event, after }) =>
      event.kind !== 'disconnected' || after.clients.size > 0
        ? after
        : table.values
            .filter(({ onLinkLoss }) => onLinkLoss.kind === 'keep')
            .reduce((state, { index, start }) => setValueIn(state, index, start), after),
    ),
  },
  {
    name: 'all-reset-on-reconnect',
    about: 'A new connection finds every value as at power-up.',
    symptom: 'Settings are gone after each reconnect.',
    wrap: stateAfter(({ table, event, after }) =>
      event.kind === 'connected'
        ? table.values
            .filter(({ access }) => access.includes('write'))
            .reduce((state, { index, start }) => setValueIn(state, index, start), after)
        : after,
    ),
  },
  {
    name: 'advertising-not-restarted',
    about: 'After a disconnect the board does not advertise again.',
    symptom: 'The board is found once, and never again until it is reset.',
    wrap: (inner) => ({
      start: (at) => inner.start(at),
      step(state, event, at) {
        const step = inner.step(state, event, at);
        if (event.kind !== 'disconnected') return step;
        const kept = step.effects.filter((effect) => effect.kind !== 'advertise' && !isAdvertisingNote(effect));
        return {
          ...step,
          state: { ...step.state, advertising: false },
          effects: [...kept, { kind: 'advertise', on: false }],
        };
      },
    }),
  },
  {
    name: 'prepared-writes-outlive-connection',
    about: 'A new connection finds the prepared writes that the last one left behind.',
    symptom: 'Executing a first long write also writes something old.',
    wrap: remembering<BoardState['server']['connections']>(new Map(), (inner, memory, [state, event, at]) => {
      const step = inner.step(state, event, at);
      if (event.kind === 'disconnected') return { step, memory: state.server.connections };
      const old = event.kind === 'connected' ? [...memory.values()].at(-1)?.prepared : undefined;
      const fresh = event.kind === 'connected' ? step.state.server.connections.get(event.connection) : undefined;
      if (event.kind !== 'connected' || old === undefined || fresh === undefined) return { step, memory };
      const connections = new Map(step.state.server.connections).set(event.connection, { ...fresh, prepared: old });
      return { step: { ...step, state: { ...step.state, server: { ...step.state.server, connections } } }, memory };
    }),
  },
];
