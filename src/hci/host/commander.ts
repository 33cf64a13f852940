import type { Cancel, Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import {
  decodeReturns,
  encodeCommand,
  type CommandParameters,
  type Completed,
  type CompletedName,
  type StartedName,
} from '../commands/codec.ts';
import { commands, type CommandName } from '../commands/registry.ts';
import { hciErrors } from '../error-codes.ts';
import type { EventParameters } from '../events/codec.ts';
import type { CommandPacket } from '../packet.ts';

/** A controller that has said nothing for so long has hung; real ones answer a reset within a few 100 ms. */
const patience = us(2_000_000);

type Waiting = {
  readonly name: CommandName;
  readonly packet: CommandPacket;
  /** Return parameters with their status in front; a Command Status gives its status alone. */
  readonly answered: (returns: Uint8Array) => void;
};

/**
 * Sends a host's commands one after the other, as many at once as the controller allows (Core Vol 4 Part E 4.4), and
 * brings each answer to who asked.
 */
export class Commander {
  readonly #send: (packet: CommandPacket) => void;
  readonly #clock: Clock;
  readonly #onSilence: (name: CommandName) => void;
  #credit = 1;
  #queue: Waiting[] = [];
  #sent: Waiting[] = [];
  #watch: Cancel | undefined;

  /** @param onSilence called when the controller does not answer `name`; nothing more is sent until `reset` */
  constructor(send: (packet: CommandPacket) => void, clock: Clock, onSilence: (name: CommandName) => void) {
    this.#send = send;
    this.#clock = clock;
    this.#onSilence = onSilence;
  }

  /** A command that Command Complete answers. A controller that does not know it answers with a status other than 0. */
  complete<N extends CompletedName>(
    name: N,
    parameters: CommandParameters<N>,
    done: (answer: Completed<N>) => void = ignore,
  ): void {
    this.#enqueue(name, encodeCommand(name, parameters), (returns) => {
      done(decodeReturns(name, returns));
    });
  }

  /** A command that Command Status answers; its outcome comes in an event. */
  start<N extends StartedName>(
    name: N,
    parameters: CommandParameters<N>,
    done: (status: number) => void = ignore,
  ): void {
    this.#enqueue(name, encodeCommand(name, parameters), (returns) => {
      done(returns[0] ?? hciErrors['unspecified-error']);
    });
  }

  takeComplete({ credit, opcode, returns }: EventParameters<'command-complete'>): void {
    this.#take(credit, opcode, returns);
  }

  takeStatus({ credit, opcode, status }: EventParameters<'command-status'>): void {
    this.#take(credit, opcode, Uint8Array.of(status));
  }

  /** Forgets every command, answered or not: the controller is about to be reset, or has gone. */
  reset(): void {
    this.#queue = [];
    this.#sent = [];
    this.#credit = 1;
    this.#watch?.();
    this.#watch = undefined;
  }

  #enqueue(name: CommandName, packet: CommandPacket, answered: Waiting['answered']): void {
    this.#queue.push({ name, packet, answered });
    this.#work();
  }

  #take(credit: number, opcode: number, returns: Uint8Array): void {
    this.#credit = credit;
    const index = this.#sent.findIndex(({ name }) => commands[name].opcode === opcode);
    const [waiting] = index < 0 ? [] : this.#sent.splice(index, 1);
    this.#rewatch();
    waiting?.answered(returns);
    this.#work();
  }

  #work(): void {
    while (this.#credit > 0) {
      const next = this.#queue.shift();
      if (next === undefined) return;
      this.#credit -= 1;
      this.#sent.push(next);
      this.#rewatch();
      this.#send(next.packet);
    }
  }

  /** Silence counts from the last command or answer. */
  #rewatch(): void {
    this.#watch?.();
    const [oldest] = this.#sent;
    this.#watch =
      oldest === undefined
        ? undefined
        : this.#clock.schedule(us(this.#clock.now() + patience), () => {
            this.#watch = undefined;
            this.#onSilence(oldest.name);
          });
  }
}

function ignore(): void {
  // Nobody needs the answer.
}
