import type { Bytes } from '../base/bytes.ts';
import type { Microseconds } from '../base/quantity.ts';
import type { LinkType } from './link-types.ts';
import { interfaceBlock, packetBlock, sectionBlock, type Direction } from './pcapng-block.ts';

/** Takes the octets of a file in order. */
export type Sink = (octets: Bytes) => void;

/** Where packets are captured: one controller's H4 stream, or the air. */
export type CaptureInterface = {
  /** @param at since a simulation began, or since 1 January 1970; each interface may begin at its own time */
  packet(at: Microseconds, data: Bytes, options?: PacketOptions): void;
};

export type PacketOptions = {
  /** Which way it went; left out where there is no such thing. */
  readonly direction?: Direction | undefined;
  /** A remark for who reads the file. */
  readonly comment?: string | undefined;
};

/**
 * Writes a capture file as packets come: one section, little-endian, times in microseconds
 * (draft-ietf-opsawg-pcapng). The file is whole after every packet.
 */
export class PcapngWriter {
  readonly #sink: Sink;
  #interfaces = 0;

  /**
   * @param program who writes, with its version
   * @param comment about the whole file
   */
  constructor(sink: Sink, program: string, comment?: string) {
    this.#sink = sink;
    sink(sectionBlock(program, comment));
  }

  /** Adds a place of capture; may come at any time before its first packet. */
  addInterface(type: LinkType, name: string, description: string): CaptureInterface {
    const number = this.#interfaces++;
    this.#sink(interfaceBlock(type, name, description));
    return {
      packet: (at, data, { direction, comment } = {}) => {
        this.#sink(packetBlock({ interface: number, at, data, direction, comment }));
      },
    };
  }
}
