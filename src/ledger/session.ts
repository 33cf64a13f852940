import { sha256 } from '@noble/hashes/sha2.js';
import { fromHex, toHex, type Bytes } from '../base/bytes.ts';
import { us, type Microseconds } from '../base/quantity.ts';
import { encodeUtf8 } from '../values/utf8.ts';
import type { Observation } from './observation.ts';

/**
 * The recording of a session: JSON lines (docs/ledger.md). The first line is the head; each other line is one observation
 * and can be read without those before it.
 */
export const sessionFormat = 'gattwright session';
export const sessionVersion = 1;

export type SessionHead = {
  /** The contract's text, so that a recording says by itself what its octets mean. */
  readonly contract: string;
  /** What the contract was called: its file. */
  readonly name: string;
  /** How the board was reached, for people. */
  readonly link: string;
  /** When the session began, as ISO 8601 tells it, where the host knew; the ledger needs no such thing. */
  readonly began: string | undefined;
};

/** A line of a recording that could not be read, with why. */
export type LineProblem = { readonly ok: false; readonly why: string };
type Read<T> = { readonly ok: true; readonly value: T } | LineProblem;

/** The head as a line, without its line end. */
export function headLine(head: SessionHead): string {
  return JSON.stringify({
    format: sessionFormat,
    version: sessionVersion,
    name: head.name,
    link: head.link,
    ...(head.began === undefined ? {} : { began: head.began }),
    'contract-sha256': toHex(sha256(encodeUtf8(head.contract))),
    contract: head.contract,
  });
}

/** Reads the first line of a recording. Never throws. */
export function readHead(line: string): Read<SessionHead> {
  const fields = objectOf(line);
  if (fields?.['format'] !== sessionFormat)
    return problem('it is no recording of gattwright: the first line is not its head');
  const { version, name, link, began, contract } = fields;
  if (version !== sessionVersion) {
    return problem(`it is a recording of version ${show(version)}; this program reads version ${sessionVersion}`);
  }
  if (typeof contract !== 'string' || typeof name !== 'string' || typeof link !== 'string') {
    return problem('its head lacks `contract`, `name` or `link`');
  }
  if (fields['contract-sha256'] !== toHex(sha256(encodeUtf8(contract)))) {
    return problem('its contract was changed after it was recorded: `contract-sha256` is of another text');
  }
  return { ok: true, value: { contract, name, link, began: typeof began === 'string' ? began : undefined } };
}

/** One observation as a line, without its line end. Octets are hex digits, times whole microseconds. */
export function observationLine(observation: Observation): string {
  const { kind, at } = observation;
  switch (kind) {
    case 'printed':
    case 'typed':
      return JSON.stringify({ t: at, is: kind, line: observation.line });
    case 'connected':
      return JSON.stringify({ t: at, is: kind, c: observation.connection, mtu: observation.mtu });
    case 'disconnected':
      return JSON.stringify({ t: at, is: kind, c: observation.connection });
    case 'subscribed':
      return JSON.stringify({ ...exchange(observation), mode: observation.mode });
    case 'read':
      return JSON.stringify({ ...exchange(observation), v: toHex(observation.value) });
    case 'written':
      return JSON.stringify({ ...exchange(observation), v: toHex(observation.value), response: observation.response });
    case 'refused': {
      const { access, code, value } = observation;
      return JSON.stringify({
        ...exchange(observation),
        access,
        code,
        v: value === undefined ? undefined : toHex(value),
      });
    }
    case 'notified':
    case 'indicated':
      return JSON.stringify({
        t: at,
        is: kind,
        c: observation.connection,
        id: observation.id,
        v: toHex(observation.value),
      });
    case 'packet':
      return JSON.stringify({
        t: at,
        is: kind,
        c: observation.connection,
        from: observation.from,
        pdu: toHex(observation.pdu),
      });
  }
}

/** Reads one line behind the head. Never throws. */
export function readObservation(line: string): Read<Observation> {
  const fields = objectOf(line);
  if (fields === undefined) return problem('it is no JSON object');
  const observation = observationOf(new Fields(fields));
  return observation === undefined
    ? problem(`\`is\` is ${show(fields['is'])}, or a field of it is missing`)
    : { ok: true, value: observation };
}

function observationOf(fields: Fields): Observation | undefined {
  const at = fields.time('t');
  const observation = kindOf(fields, at);
  return fields.failed ? undefined : observation;
}

function kindOf(fields: Fields, at: Microseconds): Observation | undefined {
  const kind = fields.text('is');
  switch (kind) {
    case 'printed':
    case 'typed':
      return { kind, at, line: fields.text('line') };
    case 'connected':
      return { kind, at, connection: fields.count('c'), mtu: fields.countOrNothing('mtu') };
    case 'disconnected':
      return { kind, at, connection: fields.count('c') };
    case 'subscribed':
      return { kind, ...fields.exchange(at), mode: fields.oneOf('mode', ['notify', 'indicate', 'off']) };
    case 'read':
      return { kind, ...fields.exchange(at), value: fields.octets('v') };
    case 'written':
      return { kind, ...fields.exchange(at), value: fields.octets('v'), response: fields.flag('response') };
    case 'refused':
      return {
        kind,
        ...fields.exchange(at),
        access: fields.oneOf('access', ['read', 'write']),
        code: fields.countOrNothing('code'),
        value: fields.octetsOrNothing('v'),
      };
    case 'notified':
    case 'indicated':
      return { kind, at, connection: fields.count('c'), id: fields.text('id'), value: fields.octets('v') };
    case 'packet':
      return {
        kind,
        at,
        connection: fields.count('c'),
        from: fields.oneOf('from', ['central', 'board']),
        pdu: fields.octets('pdu'),
      };
    default:
      return undefined;
  }
}

function exchange(of: Extract<Observation, { asked: Microseconds }>): Record<string, unknown> {
  return { t: of.at, is: of.kind, asked: of.asked, c: of.connection, id: of.id };
}

/** Takes fields out of an object; after one that is missing or of another type it answers with dummies and `failed`. */
class Fields {
  failed = false;
  readonly #fields: Readonly<Record<string, unknown>>;

  constructor(fields: Readonly<Record<string, unknown>>) {
    this.#fields = fields;
  }

  text(name: string): string {
    const value = this.#fields[name];
    return typeof value === 'string' ? value : this.#miss('');
  }

  count(name: string): number {
    const value = this.#fields[name];
    return Number.isSafeInteger(value) && (value as number) >= 0 ? (value as number) : this.#miss(0);
  }

  countOrNothing(name: string): number | undefined {
    return this.#fields[name] === undefined ? undefined : this.count(name);
  }

  time(name: string): Microseconds {
    return us(this.count(name));
  }

  flag(name: string): boolean {
    const value = this.#fields[name];
    return typeof value === 'boolean' ? value : this.#miss(false);
  }

  octets(name: string): Bytes {
    return fromHex(this.text(name)) ?? this.#miss(new Uint8Array(0));
  }

  octetsOrNothing(name: string): Bytes | undefined {
    return this.#fields[name] === undefined ? undefined : this.octets(name);
  }

  oneOf<T extends string>(name: string, choices: readonly [T, ...T[]]): T {
    const value = this.text(name);
    return choices.find((choice) => choice === value) ?? this.#miss(choices[0]);
  }

  exchange(at: Microseconds): { asked: Microseconds; at: Microseconds; connection: number; id: string } {
    return { asked: this.time('asked'), at, connection: this.count('c'), id: this.text('id') };
  }

  #miss<T>(dummy: T): T {
    this.failed = true;
    return dummy;
  }
}

function objectOf(line: string): Record<string, unknown> | undefined {
  try {
    const value: unknown = JSON.parse(line);
    return typeof value === 'object' && value !== null && !Array.isArray(value)
      ? (value as Record<string, unknown>)
      : undefined;
  } catch {
    return undefined;
  }
}

function problem(why: string): LineProblem {
  return { ok: false, why };
}

function show(value: unknown): string {
  const text = value === undefined ? 'missing' : JSON.stringify(value);
  return text.length > 40 ? `${text.slice(0, 40)}…` : text;
}
