import { fromHex, toHex, type Bytes } from '../base/bytes.ts';
import { nearest } from '../base/nearest.ts';
import type { Connection, Failure, Link, Outcome, RemoteCharacteristic } from '../att/link.ts';
import { attErrorName } from '../numbers/att-errors.ts';
import type { Table, ValueDefinition } from '../table/model.ts';
import { encode } from '../values/codec.ts';
import { parsePhysical } from '../values/parse.ts';
import { toCoded } from '../values/physical.ts';
import { showBytes } from '../values/show.ts';
import { unbounded } from '../values/unbounded.ts';

/** What a person can have the central do, for its own help and for `gattwright board`. */
export const centralHelp = [
  '@connect [NAME]        connect to the board, as the client NAME',
  '@mtu N                 exchange the MTU',
  '@read ID               read a value',
  '@write ID VALUE        write it and wait for the answer; =HEX for octets as they are',
  '@command ID VALUE      write it without an answer',
  '@subscribe ID          notifications, or indications where there are no others',
  '@unsubscribe ID        stop them',
  '@secure                give the link the security that pairing would',
  '@lose                  lose the link, as when the phone leaves the room',
  '@leave                 disconnect with a goodbye',
].join('\n');

/**
 * A central that a person steers by words, beside a virtual board. Each act answers in lines that begin with `@`.
 */
export class Central {
  readonly #link: Link;
  readonly #table: Table;
  readonly #print: (line: string) => void;
  #connection: Connection | undefined;
  #remote = new Map<string, RemoteCharacteristic>();

  constructor(link: Link, table: Table, print: (line: string) => void) {
    this.#link = link;
    this.#table = table;
    this.#print = (line) => {
      print(`@ ${line}`);
    };
  }

  /** Carries out one line, without its `@`. Never throws for what is typed. */
  async act(line: string): Promise<void> {
    const [, word = '', rest = ''] = /^\s*(\S*)\s*(.*)$/s.exec(line) ?? [];
    switch (word) {
      case 'connect':
        return this.#connect(rest === '' ? undefined : rest);
      case 'mtu':
        return this.#withConnection(async (connection) => {
          if (!/^\d{1,3}$/.test(rest)) return 'name the MTU in octets: `@mtu 185`';
          return told(await connection.exchangeMtu(Number(rest)), (mtu) => `the MTU is ${mtu} octets`);
        });
      case 'read':
        return this.#withValue(rest, async (connection, remote, { id, type }) =>
          told(await connection.read(remote), (value) => `${id} is ${showBytes(type, value)} ${hex(value)}`),
        );
      case 'write':
      case 'command':
        return this.#write(rest, word === 'write');
      case 'subscribe':
      case 'unsubscribe':
        return this.#withValue(rest, async (connection, remote, { id, access }) => {
          const mode = word === 'unsubscribe' ? 'off' : access.includes('notify') ? 'notify' : 'indicate';
          return told(await connection.subscribe(remote, mode), () => `${id}: ${mode === 'off' ? 'no more' : mode}`);
        });
      case 'secure':
        return this.#withConnection(async (connection) =>
          told(
            await connection.setSecurity({
              encrypted: true,
              authenticated: true,
              secureConnections: true,
              keySize: 16,
              bonded: true,
            }),
            () => 'the link is encrypted with an authenticated key, as after pairing',
          ),
        );
      case 'lose':
      case 'leave':
        return this.#withConnection(async (connection) => {
          await connection.drop(word === 'lose' ? 'lose' : 'terminate');
          return word === 'lose' ? 'the link is lost; the board notices at its supervision timeout' : 'disconnected';
        });
      case 'help':
        for (const help of centralHelp.split('\n')) this.#print(help);
        return;
      default: {
        const near = nearest(word, acts);
        this.#print(`there is no act @${word}; ${near === undefined ? '@help lists them' : `did you mean @${near}?`}`);
      }
    }
  }

  async #connect(identity: string | undefined): Promise<void> {
    if (this.#connection?.isOpen === true) {
      this.#print('connected already; `@leave` first');
      return;
    }
    const outcome = await this.#link.connect(identity);
    if (!outcome.ok) {
      this.#print(failureText(outcome.failure));
      return;
    }
    const connection = outcome.value;
    this.#connection = connection;
    connection.onValue(({ kind, handle, value }) => {
      const definition = this.#table.values.find((candidate) => candidate.handle === handle);
      if (definition === undefined) this.#print(`${kind} of handle ${String(handle)} ${hex(value)}`);
      else this.#print(`${kind}: ${definition.id} is ${showBytes(definition.type, value)} ${hex(value)}`);
    });
    connection.onClose(() => {
      this.#print('the connection has ended');
    });
    const services = await connection.discover();
    if (!services.ok) {
      this.#print(failureText(services.failure));
      return;
    }
    this.#remote = new Map();
    for (const remote of services.value.flatMap(({ characteristics }) => characteristics)) {
      const definition = this.#table.values.find(({ handle }) => handle === remote.handle);
      if (definition !== undefined) this.#remote.set(definition.id, remote);
    }
    this.#print(`connected; ${services.value.length} services and ${this.#remote.size} values found`);
  }

  #write(rest: string, response: boolean): Promise<void> {
    const [, id = '', text = ''] = /^(\S*)\s?(.*)$/s.exec(rest) ?? [];
    return this.#withValue(id, async (connection, remote, definition) => {
      const value = typed(definition, text);
      if (typeof value === 'string') return value;
      const outcome = response
        ? await connection.write(remote, value)
        : await connection.writeWithoutResponse(remote, value);
      return told(outcome, () => `${id}: ${response ? 'accepted' : 'sent'} ${hex(value)}`);
    });
  }

  async #withConnection(act: (connection: Connection) => Promise<string>): Promise<void> {
    const connection = this.#connection;
    this.#print(connection?.isOpen === true ? await act(connection) : 'not connected; `@connect` first');
  }

  #withValue(
    id: string,
    act: (connection: Connection, remote: RemoteCharacteristic, definition: ValueDefinition) => Promise<string>,
  ): Promise<void> {
    return this.#withConnection((connection) => {
      const definition = this.#table.values.find((candidate) => candidate.id === id);
      const remote = this.#remote.get(id);
      if (definition !== undefined && remote !== undefined) return act(connection, remote, definition);
      const near = nearest(id, this.#remote.keys());
      return Promise.resolve(`there is no value \`${id}\`${near === undefined ? '' : `; did you mean \`${near}\`?`}`);
    });
  }
}

const acts = [
  'connect',
  'mtu',
  'read',
  'write',
  'command',
  'subscribe',
  'unsubscribe',
  'secure',
  'lose',
  'leave',
  'help',
];

/** The octets of what a person typed, or why there are none. Range is left to the board: it is the one to refuse. */
function typed(definition: ValueDefinition, text: string): Bytes | string {
  const type = unbounded(definition.type);
  if (text.startsWith('=')) return fromHex(text.slice(1)) ?? `\`${text.slice(1)}\` is no row of hex octets`;
  const physical = parsePhysical(type, text);
  if (!physical.ok) return physical.refusal.message;
  const coded = toCoded(type, physical.value);
  if (!coded.ok) return coded.refusal.message;
  const bytes = encode(type, coded.value.coded);
  return bytes.ok ? bytes.value : bytes.refusal.message;
}

function told<T>(outcome: Outcome<T>, text: (value: T) => string): string {
  return outcome.ok ? text(outcome.value) : failureText(outcome.failure);
}

function hex(bytes: Bytes): string {
  return bytes.length === 0 ? '(empty)' : `(${toHex(bytes, ' ')})`;
}

function failureText(failure: Failure): string {
  switch (failure.kind) {
    case 'att-error':
      return failure.code === undefined
        ? 'the board refused'
        : `the board refused: ${attErrorName(failure.code)} (0x${failure.code.toString(16).padStart(2, '0')})`;
    case 'timeout':
      return 'no answer within 30 s';
    case 'link-lost':
      return 'the link was lost';
    case 'protocol':
      return `the board broke the protocol: ${failure.about}`;
    case 'not-reachable':
      return `not reachable: ${failure.about}`;
  }
}
