import { VirtualClock } from '../../src/base/clock.ts';
import { toHex } from '../../src/base/bytes.ts';
import { us } from '../../src/base/quantity.ts';
import {
  completeEvent,
  decodeCommand,
  encodeComplete,
  statusEvent,
  type HciCommand,
} from '../../src/hci/commands/codec.ts';
import { commands, commandNames } from '../../src/hci/commands/registry.ts';
import { encodeEvent, type EventName, type EventParameters } from '../../src/hci/events/codec.ts';
import { H4Reader } from '../../src/hci/h4-reader.ts';
import type { H4Port } from '../../src/hci/h4-port.ts';
import { encodePacket, type AclPacket, type HciPacket } from '../../src/hci/packet.ts';
import { portPair } from '../../src/hci/port-pair.ts';
import { supportedCommands } from '../../src/hci/supported-commands.ts';

/** A controller that does as a test says: it answers each command with success, and tells what it is told to tell. */
export class ScriptedController {
  readonly clock = new VirtualClock();
  /** The host's end. */
  readonly port: H4Port;
  /** Commands in the order they came, `HCI_Reset` first after each bring-up. */
  readonly commands: HciCommand[] = [];
  readonly acl: AclPacket[] = [];
  /** How a command is answered, where not with success: a status, or false for silence. */
  readonly answers = new Map<HciCommand['kind'], number | false>();
  /** Called behind each answer. */
  after: (command: HciCommand) => void = () => undefined;
  aclLength = 27;
  /** LE features: data length extension and 2M. */
  features = Uint8Array.of(0x20, 0x01, 0, 0, 0, 0, 0, 0);
  aclCount = 3;
  #credit = 1;
  readonly #pair = portPair(this.clock);
  readonly #reader = new H4Reader('controller');

  constructor() {
    this.port = this.#pair.host;
    this.#pair.controller.onOctets((octets) => {
      for (const item of this.#reader.push(octets)) {
        if (item.kind === 'command') this.#take(item);
        else if (item.kind === 'acl') this.acl.push(item);
      }
    });
  }

  tell<N extends EventName>(name: N, parameters: EventParameters<N>): void {
    this.#send(encodeEvent(name, parameters));
  }

  /** One whole frame, or a part, from the peer. */
  bring(handle: number, data: Uint8Array, boundary = 2): void {
    this.#send({ kind: 'acl', handle, boundary, broadcast: 0, data });
  }

  raw(octets: Uint8Array): void {
    this.#pair.controller.send(octets);
  }

  unplug(): void {
    this.#pair.close();
  }

  /** Lets what is on its way arrive. */
  run(): void {
    this.clock.advance(us(1000));
  }

  kinds(): readonly string[] {
    return this.commands.map(({ kind }) => kind);
  }

  /** The data of the ACL packets that came, in hex. */
  data(): readonly string[] {
    return this.acl.map(({ data }) => toHex(data));
  }

  #send(packet: HciPacket): void {
    this.#pair.controller.send(encodePacket(packet));
  }

  #take(packet: HciPacket & { kind: 'command' }): void {
    const decoded = decodeCommand(packet);
    if (decoded.kind !== 'command') throw new Error(`a host must not send ${decoded.kind}`);
    const { command } = decoded;
    this.commands.push(command);
    const answer = this.answers.get(command.kind) ?? 0;
    if (answer === false) return;
    if (commands[command.kind].returns === undefined) this.#send(statusEvent(packet.opcode, answer, this.#credit));
    else if (answer !== 0) this.#send(completeEvent(packet.opcode, Uint8Array.of(answer), this.#credit));
    else this.#send(this.#success(command, packet.opcode));
    this.after(command);
  }

  #success(command: HciCommand, opcode: number): HciPacket {
    switch (command.kind) {
      case 'read-local-version':
        return encodeComplete(command.kind, {
          hciVersion: 10,
          hciSubversion: 0,
          lmpVersion: 10,
          company: 0xffff,
          lmpSubversion: 0,
        });
      case 'read-local-supported-commands':
        return encodeComplete(command.kind, { commands: supportedCommands(commandNames) });
      case 'read-bd-addr':
        return encodeComplete(command.kind, { address: '00:11:22:33:44:55' });
      case 'le-read-buffer-size':
        return encodeComplete(command.kind, { aclLength: this.aclLength, aclCount: this.aclCount });
      case 'read-buffer-size':
        return encodeComplete(command.kind, { aclLength: 1021, syncLength: 0, aclCount: 8, syncCount: 0 });
      case 'le-read-local-features':
        return encodeComplete(command.kind, { features: this.features });
      default: {
        const handle = 'handle' in command ? [command.handle & 0xff, command.handle >> 8] : [];
        return completeEvent(opcode, Uint8Array.of(0, ...handle), this.#credit);
      }
    }
  }
}
