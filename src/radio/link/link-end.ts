import type { Bytes } from '../../base/bytes.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Phy } from '../../contract/model.ts';
import { hciErrors } from '../../hci/error-codes.ts';
import { dataPacketTime } from '../air-time.ts';
import { decodeControl, encodeControl, type ControlPdu } from '../pdu/control-pdu.ts';
import { dataHeaderOctet, llid } from '../pdu/data-pdu.ts';
import type { LinkCipher } from '../pdu/link-cipher.ts';
import type { Radio } from '../radio.ts';
import type { LinkHost } from './link-host.ts';
import { cut, emptyPdu, type HostData, type Outgoing } from './outgoing.ts';
import { leastDataLength, payloadLimit } from './payload-limit.ts';

export type Role = 'central' | 'peripheral';

/** A PDU as it is on the air: header's first octet and payload, with its MIC when it is encrypted. */
export type OnAir = { readonly header: number; readonly payload: Bytes };

/** Receives the control PDUs of one end. */
export type ControlReceiver = (pdu: ControlPdu) => void;

/**
 * One end of a connection: its queues, its sequence numbers and its ciphers. Core Vol 6 Part B 4.5.9: a PDU is sent again
 * until it is acknowledged, and one seen before is acknowledged again but not handed on.
 */
export class LinkEnd {
  readonly role: Role;
  readonly radio: Radio;
  readonly host: LinkHost;
  onControl: ControlReceiver = () => undefined;

  open = true;
  /** False once it has missed an instant: it then hears nothing any more. */
  inStep = true;
  /** Whether it has heard the other end at all. */
  established = false;
  /** End of the last packet it heard, or of the request that made the connection. */
  lastHeard: Microseconds;
  /** The connection ends here, for this reason, as soon as its next PDU is sent. */
  closing: number | undefined;
  /** Host's data is held back while encryption is being changed. */
  dataPaused = false;
  txCipher: LinkCipher | undefined;
  rxCipher: LinkCipher | undefined;
  /** PHY it sends on. */
  phy: Phy = '1M';
  /** What it may send at most: what both ends have agreed on. */
  txOctets: number = leastDataLength.octets;
  txTime: number = leastDataLength.time;
  /** What its host wants to send at most. */
  maxTxOctets: number = leastDataLength.octets;
  maxTxTime: number = leastDataLength.time;

  readonly counts = { sent: 0, repeated: 0, heard: 0 };

  #sequence = 0;
  #nextExpected = 0;
  #unacknowledged: Outgoing | undefined;
  readonly #control: { readonly pdu: Outgoing; readonly arrived: Microseconds }[] = [];
  readonly #data: HostData[] = [];

  constructor(role: Role, radio: Radio, host: LinkHost, at: Microseconds) {
    this.role = role;
    this.radio = radio;
    this.host = host;
    this.lastHeard = at;
  }

  get encrypted(): boolean {
    return this.txCipher !== undefined;
  }

  /** Largest payload of a data PDU without MIC. */
  get payloadLimit(): number {
    return payloadLimit(this.phy, this.txOctets, this.txTime);
  }

  /** Time of the longest PDU that it may send. */
  get longestTime(): Microseconds {
    return this.#time(this.payloadLimit);
  }

  /** Whether nothing waits to be sent or acknowledged. */
  get idle(): boolean {
    const silent = this.#unacknowledged === undefined || this.#unacknowledged === emptyPdu;
    return silent && this.#control.length === 0 && this.#data.length === 0 && this.closing === undefined;
  }

  /** The host's packets that wait or are on their way. */
  get waiting(): number {
    return this.#data.length;
  }

  /**
   * Queues a control PDU; it goes before the host's data.
   *
   * @param acknowledged called when the other end has it
   */
  send(
    pdu: Exclude<ControlPdu, { kind: 'unknown' }>,
    at: Microseconds,
    acknowledged?: (at: Microseconds) => void,
  ): void {
    const payload = encodeControl(pdu);
    this.#control.push({ pdu: { llid: llid.control, payload, sealed: undefined, acknowledged }, arrived: at });
  }

  /** Queues data of the host. */
  queue(data: Bytes, start: boolean, at: Microseconds): void {
    if (data.length === 0) this.host.completed(1);
    else this.#data.push({ data, start, arrived: at, offset: 0 });
  }

  /** Drops control PDUs that were queued but never sent, of one opcode; tells whether there was one. */
  withdraw(opcode: number): boolean {
    const at = this.#control.findIndex(({ pdu }) => pdu.payload[0] === opcode);
    if (at >= 0) this.#control.splice(at, 1);
    return at >= 0;
  }

  /** Time of the PDU that {@link take} would give. */
  nextTime(at: Microseconds): Microseconds {
    return this.#time(this.#peekLength(at));
  }

  /**
   * The next PDU: one not yet acknowledged, else a control PDU, else data, else an empty one. What was queued at `at` or
   * later does not count.
   *
   * @param limit when the packet must have ended; a new PDU that would not have is kept back
   */
  take(at: Microseconds, limit: Microseconds): OnAir {
    let pdu = this.#unacknowledged;
    if (pdu === undefined && this.#control.length === 0 && this.#data.length === 0) {
      pdu = emptyPdu;
      this.#unacknowledged = pdu;
    } else if (pdu === undefined) {
      const fits = at + this.nextTime(at) <= limit;
      pdu = (fits ? this.#next(at) : undefined) ?? emptyPdu;
      this.#unacknowledged = pdu;
    } else if (pdu.payload.length > 0) this.counts.repeated += 1;
    this.counts.sent += 1;
    const octet = dataHeaderOctet(pdu.llid, this.#nextExpected, this.#sequence, this.#more(at));
    pdu.sealed ??= this.txCipher === undefined ? pdu.payload : this.txCipher.seal(octet, pdu.payload);
    return { header: octet, payload: pdu.sealed };
  }

  /** Takes what the other end sent. Core Vol 6 Part B 4.5.9. */
  receive(onAir: OnAir, at: Microseconds): void {
    this.counts.heard += 1;
    this.lastHeard = at;
    this.established = true;
    const nextExpected = (onAir.header >> 2) & 1;
    const sequence = (onAir.header >> 3) & 1;
    if (nextExpected !== this.#sequence && this.#unacknowledged !== undefined) {
      const { acknowledged } = this.#unacknowledged;
      this.#sequence ^= 1;
      this.#unacknowledged = undefined;
      acknowledged?.(at);
    }
    if (sequence !== this.#nextExpected || !this.open) return;
    const kind = onAir.header & 3;
    if (onAir.payload.length === 0) {
      this.#nextExpected ^= 1;
      return;
    }
    if (kind !== llid.control && !this.host.takesData()) return;
    this.#nextExpected ^= 1;
    const payload = this.rxCipher === undefined ? onAir.payload : this.rxCipher.unseal(onAir.header, onAir.payload);
    if (payload === undefined) this.close(hciErrors['mic-failure']);
    else if (kind === llid.control) this.onControl(decodeControl(payload));
    else this.host.data(kind, payload);
  }

  /** Time of a PDU of so many octets on the air, MIC included. */
  timeOnAir(payload: number): Microseconds {
    return dataPacketTime(this.phy, payload, false);
  }

  /** Ends the connection here, at once and without telling the other end. */
  close(reason: number): void {
    if (!this.open) return;
    this.open = false;
    this.#control.length = 0;
    this.#data.length = 0;
    this.#unacknowledged = undefined;
    this.host.closed(reason);
  }

  #time(payload: number): Microseconds {
    return us(dataPacketTime(this.phy, payload, this.encrypted));
  }

  #peekLength(at: Microseconds): number {
    if (this.#unacknowledged !== undefined) return this.#unacknowledged.payload.length;
    const control = this.#control[0];
    if (control !== undefined && control.arrived < at) return control.pdu.payload.length;
    const data = this.#data[0];
    if (data === undefined || data.arrived >= at || this.dataPaused) return 0;
    return Math.min(data.data.length - data.offset, this.payloadLimit);
  }

  #next(at: Microseconds): Outgoing | undefined {
    const control = this.#control[0];
    if (control !== undefined && control.arrived < at) {
      this.#control.shift();
      return control.pdu;
    }
    const packet = this.#data[0];
    if (packet === undefined || packet.arrived >= at || this.dataPaused) return undefined;
    const pdu = cut(packet, this.payloadLimit, () => {
      this.host.completed(1);
    });
    if (packet.offset >= packet.data.length) this.#data.shift();
    return pdu;
  }

  /** Whether more waits behind what is being sent. */
  #more(at: Microseconds): boolean {
    const control = this.#control[0];
    const data = this.#data[0];
    return (
      (control !== undefined && control.arrived < at) || (data !== undefined && data.arrived < at && !this.dataPaused)
    );
  }
}
