import type { Cancel } from '../../../base/clock.ts';
import { us } from '../../../base/quantity.ts';
import type { Bytes } from '../../../base/bytes.ts';
import { hciErrors } from '../../../hci/error-codes.ts';
import { controlOpcode, type ControlName, type ControlPdu } from '../../pdu/control-pdu.ts';
import type { KeyMaterial } from '../../pdu/link-cipher.ts';
import { leastDataLength } from '../payload-limit.ts';
import type { Link } from '../link.ts';
import type { LinkEnd } from '../link-end.ts';

/** A procedure of the link layer that this end has begun. Core Vol 6 Part B 5.1. */
export type Procedure = {
  /** The PDU that it begins with. */
  readonly request: ControlName;
  readonly start: () => void;
  /** The other end refuses or does not know the request. */
  readonly refused: (error: number) => void;
};

/** What an end does on receiving a control PDU, by kind. */
export type Handlers = {
  readonly [K in ControlPdu['kind']]?: (plane: ControlPlane, pdu: Extract<ControlPdu, { kind: K }>) => void;
};

/** What the central's host gives to start encryption. */
export type EncryptionRequest = { readonly random: Bytes; readonly diversifier: number; readonly key: Bytes };

/** How far an end has come. */
export type EncryptionState = {
  /** Central: its host's request. */
  readonly request: EncryptionRequest | undefined;
  readonly centralDiversifier: Bytes;
  readonly centralVector: Bytes;
  /** Known to the peripheral from the start, to the central from LL_ENC_RSP. */
  readonly material: KeyMaterial | undefined;
  /** Encryption was on before, with another key. */
  readonly refresh: boolean;
  /** Peripheral: it has asked its host for the key. */
  readonly keyAsked: boolean;
  /** Peripheral: the session key, made from its host's answer. */
  readonly session: Bytes | undefined;
};

/** How long the other end may take over a procedure. Core Vol 6 Part B 5.2: 40 s. */
const responseTimeout = us(40_000_000);

/**
 * The control side of one end: procedures that it begins, one after another, and what it has learnt about the other end.
 */
export class ControlPlane {
  readonly link: Link;
  readonly end: LinkEnd;
  /** The other end's, as long as there was one. */
  peer: ControlPlane | undefined;
  peerFeatures: Bytes | undefined;
  peerVersion: { readonly version: number; readonly company: number; readonly subversion: number } | undefined;
  versionSent = false;
  /** Its host waits for the other end's version. */
  versionAsked = false;
  /** What it receives at most: what both ends have agreed on. */
  rxOctets: number = leastDataLength.octets;
  rxTime: number = leastDataLength.time;
  /** While encryption is being started or changed. */
  encryption: EncryptionState | undefined;
  /** What its host asked for last. */
  phyWish: { readonly txPhys: number; readonly rxPhys: number } | undefined;
  /** The other end has asked for other connection parameters and its own host has not answered. */
  parametersAsked = false;
  /** Its host has asked for the end of the connection. */
  leaving = false;

  #running: Procedure | undefined;
  readonly #queue: Procedure[] = [];
  #timer: Cancel | undefined;

  constructor(link: Link, end: LinkEnd) {
    this.link = link;
    this.end = end;
  }

  get isCentral(): boolean {
    return this.end.role === 'central';
  }

  get handle(): number {
    return this.end.host.handle;
  }

  send(pdu: Exclude<ControlPdu, { kind: 'unknown' }>, acknowledged?: () => void): void {
    this.end.send(pdu, this.link.now, acknowledged);
  }

  /** Begins a procedure as soon as those begun before are done. */
  begin(procedure: Procedure): void {
    this.#queue.push(procedure);
    this.#next();
  }

  /** Whether this procedure is under way. */
  running(request: ControlName): boolean {
    return this.#running?.request === request;
  }

  /** The procedure under way is done, if it is this one. */
  finish(request: ControlName): void {
    if (this.#running?.request !== request) return;
    this.#timer?.();
    this.#running = undefined;
    this.#next();
  }

  /** Forgets a procedure that has not begun: the other end was quicker. */
  forget(request: ControlName): void {
    const at = this.#queue.findIndex((procedure) => procedure.request === request);
    if (at >= 0) this.#queue.splice(at, 1);
  }

  /** The other end's answer to a request that it does not take. */
  refused(opcode: number | undefined, error: number): void {
    const running = this.#running;
    if (running === undefined) return;
    if (opcode !== undefined && controlOpcode(running.request) !== opcode) return;
    this.finish(running.request);
    running.refused(error);
  }

  /** Refuses a request of the other end. */
  refuse(request: ControlName, error: number): void {
    this.send({ kind: 'reject-ext-ind', rejectOpcode: controlOpcode(request), error });
  }

  /** The connection has ended here. */
  stop(): void {
    this.#timer?.();
    this.#running = undefined;
    this.#queue.length = 0;
  }

  #next(): void {
    if (this.#running !== undefined || !this.end.open) return;
    const procedure = this.#queue.shift();
    if (procedure === undefined) return;
    this.#running = procedure;
    this.#timer = this.link.air.clock.schedule(us(this.link.now + responseTimeout), () => {
      this.link.act(() => {
        this.end.close(hciErrors['ll-response-timeout']);
      });
    });
    procedure.start();
  }
}
