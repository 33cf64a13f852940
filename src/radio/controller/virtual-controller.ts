import type { Bytes } from '../../base/bytes.ts';
import { concat } from '../../base/bytes.ts';
import type { Clock } from '../../base/clock.ts';
import {
  decodeCommand,
  encodeComplete,
  encodeFailed,
  statusEvent,
  type CompletedName,
  type HciCommand,
} from '../../hci/commands/codec.ts';
import { commands, type CommandName } from '../../hci/commands/registry.ts';
import { hciErrors } from '../../hci/error-codes.ts';
import type { H4Port } from '../../hci/h4-port.ts';
import { H4Reader } from '../../hci/h4-reader.ts';
import { encodePacket, type CommandPacket, type HciPacket } from '../../hci/packet.ts';
import { portPair, type PortPair } from '../../hci/port-pair.ts';
import type { Random } from '../../base/random.ts';
import type { Air } from '../air.ts';
import type { Radio } from '../radio.ts';
import { begun, silent } from './answer.ts';
import { handlers } from './commands/registry.ts';
import { Core, type ControllerOptions } from './core.ts';

/** Hardware_Code of the error that tells of an H4 stream out of step; codes are a vendor's own. */
const outOfStep = 0x01;

/** What a controller has done since it was made. */
export type ControllerCounts = {
  /** Packets from and to the host. */
  readonly received: number;
  readonly sent: number;
  /** Advertising packets on the air, and those that met another. */
  readonly advertised: number;
  readonly collided: number;
  /** Connections that are open. */
  readonly connections: number;
  /** Packets on connections: those sent, of them those that carried something and were sent again, and those heard. */
  readonly packets: number;
  readonly repeated: number;
  readonly heard: number;
};

/** What a controller has its room do. */
export type RoomHooks = {
  /** Before the radio falls silent or comes back: what is due by then is to be done first. */
  readonly beforeMute: () => void;
  readonly removed: () => void;
};

/**
 * A controller of the virtual radio: on one side an H4 byte stream, on the other the air of its room. It answers every
 * command: one that it does not have with Unknown HCI Command, one with parameters of a wrong length or out of range with
 * Invalid HCI Command Parameters.
 */
export class VirtualController {
  readonly core: Core;
  readonly #pair: PortPair;
  readonly #reader = new H4Reader('controller');
  readonly #hooks: RoomHooks;
  #received = 0;
  #sent = 0;

  constructor(air: Air, radio: Radio, random: Random, options: ControllerOptions, hooks: RoomHooks) {
    const clock: Clock = air.clock;
    this.#pair = portPair(clock);
    this.#hooks = hooks;
    this.core = new Core(air, radio, random, options, (packet) => {
      this.#send(packet);
    });
    this.#pair.controller.onOctets((octets) => {
      this.#receive(octets);
    });
  }

  get name(): string {
    return this.core.radio.name;
  }

  /** The host's end of the stream. */
  get port(): H4Port {
    return this.#pair.host;
  }

  get counts(): ControllerCounts {
    const { packets: advertised, collided } = this.core.advertiser.counts;
    const packets = { ...this.core.past };
    for (const { link, end } of this.core.connections.values()) {
      link.sync();
      packets.sent += end.counts.sent;
      packets.repeated += end.counts.repeated;
      packets.heard += end.counts.heard;
    }
    return {
      received: this.#received,
      sent: this.#sent,
      advertised,
      collided,
      connections: this.core.connections.size,
      packets: packets.sent,
      repeated: packets.repeated,
      heard: packets.heard,
    };
  }

  /** The radio falls silent: nothing is sent or heard any more, while the controller and its host go on. */
  powerOff(): void {
    this.#hooks.beforeMute();
    this.core.radio.muted = true;
  }

  powerOn(): void {
    this.#hooks.beforeMute();
    this.core.radio.muted = false;
  }

  /** Tells the host of a hardware error, upon which it must reset the controller. */
  injectHardwareError(code: number): void {
    this.core.event('hardware-error', { code });
  }

  /** Takes the controller out of the room: its host's stream closes, its connections fall silent. */
  remove(): void {
    this.core.reset();
    this.#pair.close();
    this.#hooks.removed();
  }

  #send(packet: HciPacket): void {
    this.#sent += 1;
    this.#pair.controller.send(encodePacket(packet));
  }

  #receive(octets: Bytes): void {
    for (const item of this.#reader.push(octets)) {
      switch (item.kind) {
        case 'lost-sync':
          this.injectHardwareError(outOfStep);
          break;
        case 'command':
          this.#received += 1;
          this.core.answering(() => this.#answer(item));
          break;
        case 'acl':
          this.#received += 1;
          this.core.acl(item);
          break;
        case 'event':
        case 'sync':
        case 'iso':
          break;
      }
    }
  }

  #answer(packet: CommandPacket): HciPacket | undefined {
    const decoded = decodeCommand(packet);
    if (decoded.kind === 'unknown-opcode') return statusEvent(packet.opcode, hciErrors['unknown-command']);
    if (decoded.kind === 'wrong-length') return failed(decoded.name, packet, hciErrors['invalid-parameters']);
    const { command } = decoded;
    const handler = handlers[command.kind] as ((core: Core, command: HciCommand) => unknown) | undefined;
    if (handler === undefined) return statusEvent(packet.opcode, hciErrors['unknown-command']);
    const answer = handler(this.core, command);
    if (answer === silent) return undefined;
    if (answer === begun) return statusEvent(packet.opcode, hciErrors.success);
    if (isRefused(answer)) return failed(command.kind, packet, answer.refused);
    return encodeComplete(command.kind as CompletedName, answer as never);
  }
}

function isRefused(answer: unknown): answer is { readonly refused: number } {
  return typeof answer === 'object' && answer !== null && 'refused' in answer;
}

/** The answer to a command that is not done. A connection handle at the front of the return parameters is kept. */
function failed(name: CommandName, packet: CommandPacket, status: number): HciPacket {
  const { returns } = commands[name];
  if (returns === undefined) return statusEvent(packet.opcode, status);
  const keep = 'handle' in returns ? concat(packet.parameters.subarray(0, 2)) : new Uint8Array(0);
  return encodeFailed(name as CompletedName, status, keep);
}
