import type { Characteristic } from '../model.ts';

/** `needs` as a contract writes it, in the shortest way. */
export function needsText({ read, write, subscribe }: Characteristic['needs']): string {
  if (read === write && read === subscribe) return read;
  return subscribe === read
    ? `{ read: ${read}, write: ${write} }`
    : `{ read: ${read}, write: ${write}, subscribe: ${subscribe} }`;
}
