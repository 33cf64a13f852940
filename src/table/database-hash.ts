import { bug } from '../base/bug.ts';
import { concat, reversed, u16le, type Bytes } from '../base/bytes.ts';
import { aesCmac } from '../base/cmac.ts';
import { uuidBytes, type Uuid } from '../base/uuid.ts';
import { attributeType } from '../numbers/descriptors.ts';
import type { DatabaseHash, Row } from './model.ts';

/** Handle, type and value enter the hash. Core Vol 3 Part G 7.3.1. */
const withValue: ReadonlySet<Uuid> = new Set([
  attributeType.primaryService,
  attributeType.secondaryService,
  attributeType.include,
  attributeType.characteristic,
  attributeType.extendedProperties,
]);

/** Handle and type enter the hash. Values, the valid range and all other descriptors do not enter at all. */
const withoutValue: ReadonlySet<Uuid> = new Set([
  attributeType.userDescription,
  attributeType.clientConfiguration,
  attributeType.serverConfiguration,
  attributeType.presentationFormat,
  attributeType.aggregateFormat,
]);

/** True for attribute types that enter the hash: a client notices when one of these moves. */
export function isHashed(type: Uuid): boolean {
  return withValue.has(type) || withoutValue.has(type);
}

/** What a row needs to have to be hashed: any table's rows do, also those of another board. */
export type HashedRow = Pick<Row, 'handle' | 'type' | 'content'>;

/**
 * The hash by which a client knows whether it has seen this table: AES-CMAC with key zero over {@link hashedMessage}.
 * Core Vol 3 Part G 7.3.1; its worked example is Appendix B.
 *
 * @param rows in ascending order of the handles
 */
export function databaseHash(rows: readonly HashedRow[]): DatabaseHash {
  const specification = aesCmac(new Uint8Array(16), hashedMessage(rows));
  return { specification, onAir: reversed(specification) };
}

/** The octets that are hashed: of each row that takes part its handle, type and perhaps value, as they stand in PDUs. */
export function hashedMessage(rows: readonly HashedRow[]): Bytes {
  return concat(
    ...rows.flatMap(({ handle, type, content }) => {
      if (withoutValue.has(type)) return [u16le(handle), uuidBytes(type)];
      if (!withValue.has(type)) return [];
      bug(content.kind === 'constant', `the ${type} at handle ${handle} has no constant value`);
      return [u16le(handle), uuidBytes(type), content.bytes];
    }),
  );
}
