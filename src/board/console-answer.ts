import type { Bytes } from '../base/bytes.ts';
import { nearest } from '../base/nearest.ts';
import { checkValue } from '../values/check.ts';
import { decode, encode } from '../values/codec.ts';
import { parsePhysical } from '../values/parse.ts';
import { toCoded } from '../values/physical.ts';
import { refusalText } from '../values/refusal.ts';
import { showBytes } from '../values/show.ts';
import type { Refusal, ValueType } from '../values/type.ts';
import { encodeUtf8, loneSurrogate } from '../values/utf8.ts';
import type { Table, ValueDefinition } from '../table/model.ts';
import { commandHelp, parseCommand, type Command, type TypedValue } from './console-command.ts';
import type { ConsoleLine, ErrorWord, SubscriptionWord } from './console.ts';
import { drawScreen } from './screen.ts';
import type { Turn } from './turn.ts';
import { boardMs, securityWord, subscriptionBits, subscriptionWord } from './view.ts';

/**
 * Carries out one line typed on the console. Every command is answered by its data lines, if it has any, and one last
 * line: `done` or `error`. After an `error` nothing has changed.
 */
export function runConsoleLine(turn: Turn, line: string): void {
  const longest = longestCommand(turn.setup.table);
  if (encodeUtf8(line).length > longest) {
    turn.print(error('?', 'line-too-long', `a line has at most ${longest} octets`));
    return;
  }
  if (loneSurrogate(line) !== undefined) {
    turn.print(error('?', 'not-text', 'a line is UTF-8 text'));
    return;
  }
  const command = parseCommand(line);
  if (command === undefined) return;
  turn.print(command.kind === 'error' ? command : run(turn, command));
}

/**
 * The longest line a board must take, octets: enough to set its longest value by octets, and never less than 160.
 */
export function longestCommand(table: Table): number {
  return table.values.reduce(
    (longest, { id, maxLength }) => Math.max(longest, 'set '.length + id.length + ' ='.length + 2 * maxLength),
    160,
  );
}

/** Prints the data lines of the answer and gives its last line. */
function run(turn: Turn, command: Command): ConsoleLine {
  const { table } = turn.setup;
  switch (command.kind) {
    case 'help':
      for (const { usage, about } of commandHelp) turn.print({ kind: 'help', text: `${usage.padEnd(30)}${about}` });
      break;
    case 'list':
      for (const definition of table.values) turn.print(valueLine(turn, definition));
      break;
    case 'get': {
      const definition = find(table, command.id);
      if (definition === undefined) return unknownId(table, 'get', command.id);
      turn.print(valueLine(turn, definition));
      break;
    }
    case 'set': {
      const definition = find(table, command.id);
      if (definition === undefined) return unknownId(table, 'set', command.id);
      const value = typedBytes(definition.type, command.value);
      if (value.kind === 'refused') return error('set', value.refusal.reason, refusalText(value.refusal));
      turn.setValue(definition.index, value.bytes, 'console');
      break;
    }
    case 'clients':
      for (const line of clientLines(turn)) turn.print(line);
      break;
    case 'hash':
      turn.print({ kind: 'hash', ...table.databaseHash });
      break;
    case 'time':
      turn.print({ kind: 'time', ms: turn.ms });
      break;
    case 'tell':
      turn.state = { ...turn.state, telling: command.on };
      break;
    case 'screen':
      for (const text of drawScreen(table, turn.state, turn.at, command)) turn.print({ kind: 'screen', text });
      break;
    case 'drop': {
      const { client } = command;
      if (client !== undefined && !turn.state.clients.has(client)) {
        return error('drop', 'no-client', `no client ${client} is connected`);
      }
      const dropped = client === undefined ? [...turn.state.clients.keys()] : [client];
      for (const connection of dropped) turn.effects.push({ kind: 'close', connection, why: 'dropped on the console' });
      break;
    }
  }
  return { kind: 'done', command: command.kind };
}

function valueLine(turn: Turn, definition: ValueDefinition): ConsoleLine {
  const value = turn.state.server.values[definition.index] ?? definition.start;
  return { kind: 'value', ms: turn.ms, id: definition.id, value, text: consoleText(definition.type, value) };
}

/** The physical form for people, units included; a text is itself, without quotes, as `set` takes it. */
function consoleText(type: ValueType, value: Bytes): string {
  const text = type.kind === 'text' ? decode(type, value) : undefined;
  return text?.ok === true && text.value.kind === 'text' ? text.value.value : showBytes(type, value);
}

function* clientLines(turn: Turn): Generator<ConsoleLine> {
  const { state, setup } = turn;
  for (const [client, { peer, since }] of state.clients) {
    const connection = state.server.connections.get(client);
    if (connection === undefined) continue;
    const subscriptions: { id: string; mode: SubscriptionWord }[] = [];
    for (const definition of setup.table.values) {
      const mode = subscriptionWord(subscriptionBits(state, definition, client));
      if (mode !== 'off') subscriptions.push({ id: definition.id, mode });
    }
    yield {
      kind: 'client',
      client,
      peer,
      since: boardMs(state, since),
      mtu: connection.mtu,
      security: securityWord(connection.security),
      subscriptions,
    };
  }
}

type Typed =
  { readonly kind: 'bytes'; readonly bytes: Bytes } | { readonly kind: 'refused'; readonly refusal: Refusal };

/** The octets that were typed, checked as a client's write would be. */
function typedBytes(type: ValueType, typed: TypedValue): Typed {
  if (typed.kind === 'raw') return checked(type, typed.bytes);
  const physical = parsePhysical(type, typed.text);
  if (!physical.ok) return { kind: 'refused', refusal: physical.refusal };
  const coded = toCoded(type, physical.value);
  if (!coded.ok) return { kind: 'refused', refusal: coded.refusal };
  const bytes = encode(type, coded.value.coded);
  return bytes.ok ? checked(type, bytes.value) : { kind: 'refused', refusal: bytes.refusal };
}

function checked(type: ValueType, bytes: Bytes): Typed {
  const refusal = checkValue(type, bytes);
  return refusal === undefined ? { kind: 'bytes', bytes } : { kind: 'refused', refusal };
}

function find(table: Table, id: string): ValueDefinition | undefined {
  return table.values.find((definition) => definition.id === id);
}

function unknownId(table: Table, command: string, id: string): ConsoleLine {
  const near = nearest(
    id,
    table.values.map((value) => value.id),
  );
  return error(command, 'unknown-id', near === undefined ? 'type list for the values' : `did you mean ${near}?`);
}

function error(command: string, reason: ErrorWord, message: string): ConsoleLine {
  return { kind: 'error', command, reason, message };
}
