import type { Characteristic, Need } from '../contract/model.ts';
import type { Permissions } from './model.ts';

/** Declarations and what else anybody may read and nobody may write. */
export const readOnly: Permissions = { read: 'open', write: undefined, writeRequest: false, writeCommand: false };

/** Values that are only ever sent by the server. */
export const untouchable: Permissions = { ...readOnly, read: undefined };

/** Readable by anybody; written with a Write Request by who meets `need`. */
export function configurable(need: Need): Permissions {
  return { read: 'open', write: need, writeRequest: true, writeCommand: false };
}

/** What access and needs of the contract permit on the value attribute. */
export function valuePermissions({ access, needs }: Characteristic): Permissions {
  const writeRequest = access.includes('write');
  const writeCommand = access.includes('write-without-response');
  return {
    read: access.includes('read') ? needs.read : undefined,
    write: writeRequest || writeCommand ? needs.write : undefined,
    writeRequest,
    writeCommand,
  };
}

/** `read`, `write:encrypted`, `write-without-response`: one word for each way in, with what the link must be. */
export function permissionWords(permissions: Permissions): readonly string[] {
  const { read, write, writeRequest, writeCommand } = permissions;
  const words: string[] = [];
  if (read !== undefined) words.push(withNeed('read', read));
  if (write !== undefined && writeRequest) words.push(withNeed('write', write));
  if (write !== undefined && writeCommand) words.push(withNeed('write-without-response', write));
  return words;
}

function withNeed(word: string, need: Need): string {
  return need === 'open' ? word : `${word}:${need}`;
}
