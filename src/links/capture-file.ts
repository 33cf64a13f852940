import { openSync, writeSync, closeSync } from 'node:fs';
import { PcapngWriter } from '../capture/pcapng-writer.ts';

export type CaptureFile = { readonly writer: PcapngWriter; close(): void };

/**
 * A capture file that is whole after every packet.
 *
 * @throws what the file system says
 */
export function captureFile(path: string, program: string): CaptureFile {
  const file = openSync(path, 'w');
  return {
    writer: new PcapngWriter((octets) => {
      writeSync(file, octets);
    }, program),
    close: () => {
      closeSync(file);
    },
  };
}
