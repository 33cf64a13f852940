import { fromHex, toHex, type Bytes } from '../../src/base/bytes.ts';
import { us, type Microseconds } from '../../src/base/quantity.ts';
import { openLink, type LinkSecurity } from '../../src/att/link.ts';
import { attServer, defaultServerOptions, startServer } from '../../src/att/server.ts';
import type {
  ConnectionId,
  ServerConnection,
  ServerEffect,
  ServerEvent,
  ServerOptions,
  ServerState,
} from '../../src/att/server-model.ts';
import type { Table } from '../../src/table/model.ts';

/** A server on the bench: events go in, effects come out, PDUs are written in hex. Connection 1 is open from the start. */
export class ServerBench {
  readonly options: ServerOptions;
  state: ServerState;
  at: Microseconds = us(0);
  table: Table;
  /** Of the last event. */
  effects: readonly ServerEffect[] = [];

  constructor(table: Table, options: Partial<ServerOptions> = {}) {
    this.table = table;
    this.options = { ...defaultServerOptions(table), ...options };
    this.state = startServer(table);
    this.connect();
  }

  event(event: ServerEvent): readonly ServerEffect[] {
    const step = attServer(this.table, this.options, this.state, event, this.at);
    this.state = step.state;
    this.effects = step.effects;
    return step.effects;
  }

  connect(connection: ConnectionId = 1, peer = 'first'): readonly ServerEffect[] {
    return this.event({ kind: 'connected', connection, peer });
  }

  disconnect(connection: ConnectionId = 1): void {
    this.event({ kind: 'disconnected', connection });
  }

  /** Gives the server a PDU and answers with what it sends to that client, PDUs separated by a blank. */
  ask(pdu: string | Bytes, connection: ConnectionId = 1): string {
    this.event({ kind: 'received', connection, pdu: typeof pdu === 'string' ? hex(pdu) : pdu });
    return this.sent(connection);
  }

  /** What the last event made the server send to a client. */
  sent(connection: ConnectionId = 1): string {
    return this.effects
      .flatMap((effect) => (effect.kind === 'send' && effect.connection === connection ? [toHex(effect.pdu)] : []))
      .join(' ');
  }

  /** What the board is told by the last event, without what is sent. */
  told(): readonly ServerEffect[] {
    return this.effects.filter((effect) => effect.kind !== 'send');
  }

  set(index: number, value: string): void {
    this.event({ kind: 'set', index, value: hex(value) });
  }

  publish(...indices: readonly number[]): readonly ServerEffect[] {
    const [only] = indices;
    return this.event(
      indices.length === 1 && only !== undefined
        ? { kind: 'publish', index: only }
        : { kind: 'publish-together', indices },
    );
  }

  secure(security: Partial<LinkSecurity>, connection: ConnectionId = 1): readonly ServerEffect[] {
    return this.event({ kind: 'security', connection, security: { ...openLink, ...security } });
  }

  pass(time: number): readonly ServerEffect[] {
    this.at = us(this.at + time);
    return this.event({ kind: 'time' });
  }

  connection(id: ConnectionId = 1): ServerConnection {
    const connection = this.state.connections.get(id);
    if (connection === undefined) throw new Error(`no connection ${id}`);
    return connection;
  }

  value(index: number): string {
    return toHex(this.state.values[index] ?? new Uint8Array(0));
  }
}

export function hex(text: string): Bytes {
  const bytes = fromHex(text);
  if (bytes === undefined) throw new Error(`no hex: ${text}`);
  return bytes;
}

/** All that a bonded link can be. */
export const bondedLink: LinkSecurity = {
  encrypted: true,
  authenticated: true,
  secureConnections: true,
  keySize: 16,
  bonded: true,
};
