import { readU16le, type Bytes } from '../base/bytes.ts';
import { showTime, us } from '../base/quantity.ts';
import { uuidFromBytes, type Uuid } from '../base/uuid.ts';
import { appearanceLabel } from '../numbers/appearances.ts';
import { characteristics } from '../numbers/characteristics.ts';
import { attributeType, declarations, descriptors } from '../numbers/descriptors.ts';
import { formatByCode } from '../numbers/formats.ts';
import { clientConfiguration, extendedProperty, propertyWords } from '../numbers/properties.ts';
import { services } from '../numbers/services.ts';
import { unitByCode } from '../numbers/units.ts';
import { showBytes } from '../values/show.ts';
import { decodeUtf8 } from '../values/utf8.ts';
import { showHandle } from './findings.ts';
import type { Row, Table } from './model.ts';
import { readPresentationFormat } from './presentation-format.ts';
import { initialValue } from './row-value.ts';

/** What an attribute's value at power-up means, in words; empty where the row's own `about` says all. */
export function rowMeaning(row: Row, table: Table): string {
  const bytes = initialValue(row, table);
  const { content, type } = row;
  switch (content.kind) {
    case 'value': {
      const definition = table.values[content.index];
      return definition === undefined ? '' : showBytes(definition.type, bytes);
    }
    case 'cccd':
      return `may be set to ${bitWords(content.allowed, [
        [clientConfiguration.notify, 'notify'],
        [clientConfiguration.indicate, 'indicate'],
      ]).join(' and ')}`;
    case 'description':
      return showText(bytes);
    case 'constant':
      return constantMeaning(type, bytes, row, table);
    default:
      return '';
  }
}

/** The assigned name of a service, characteristic, descriptor or declaration; `undefined` for a UUID of one's own. */
export function assignedName(uuid: Uuid): string | undefined {
  for (const table of [declarations, descriptors, characteristics, services]) {
    const entry = table.byUuid(uuid);
    if (entry !== undefined) return entry.label;
  }
  return undefined;
}

function constantMeaning(type: Uuid, bytes: Bytes, row: Row, table: Table): string {
  const handle = (offset: number): string => showHandle(readU16le(bytes, offset) ?? 0);
  const uuid = (offset: number): string => showUuid(uuidFromBytes(bytes.slice(offset)));
  switch (type) {
    case attributeType.primaryService:
    case attributeType.secondaryService:
      return uuid(0);
    case attributeType.include:
      return `${handle(0)} to ${handle(2)}`;
    case attributeType.characteristic:
      return `${propertyWords(bytes[0] ?? 0).join(', ')}; ${uuid(3)}`;
    case attributeType.extendedProperties:
      return bitWords(readU16le(bytes, 0) ?? 0, [
        [extendedProperty.reliableWrite, 'reliable write'],
        [extendedProperty.writableAuxiliaries, 'writable description'],
      ]).join(', ');
    case attributeType.userDescription:
    case deviceName:
      return showText(bytes);
    case attributeType.presentationFormat:
      return formatMeaning(bytes);
    case attributeType.validRange:
      return rangeMeaning(bytes, row, table);
    case appearance:
      return appearanceLabel(readU16le(bytes, 0) ?? 0);
    case preferredConnection:
      return connectionMeaning(bytes);
    default:
      return '';
  }
}

const uuidOf = (name: string): Uuid | undefined => characteristics.byName(name)?.uuid;
const deviceName = uuidOf('device-name');
const appearance = uuidOf('appearance');
const preferredConnection = uuidOf('peripheral-preferred-connection-parameters');

function showUuid(uuid: Uuid | undefined): string {
  if (uuid === undefined) return '';
  const name = assignedName(uuid);
  return name === undefined ? uuid : `${uuid} ${name}`;
}

function showText(bytes: Bytes): string {
  const text = decodeUtf8(bytes);
  return text.ok ? `"${text.text}"` : '';
}

/** `sint16 × 10^-2, degree celsius`. */
/** A Characteristic Presentation Format in words. */
export function formatMeaning(bytes: Bytes): string {
  const read = readPresentationFormat(bytes);
  if (read === undefined) return '';
  const { format, exponent, unit } = read;
  const scale = exponent === 0 ? '' : ` × 10^${exponent}`;
  return `${formatByCode(format)?.name ?? `format ${format}`}${scale}, ${unitByCode(unit)?.name ?? `unit ${unit}`}`;
}

/** Both ends as values of the characteristic that the descriptor belongs to. */
function rangeMeaning(bytes: Bytes, { handle }: Row, { services: all, values }: Table): string {
  const owner = all
    .flatMap((service) => service.characteristics)
    .find((entry) => entry.descriptors.some((descriptor) => descriptor.handle === handle));
  const definition = owner?.index === undefined ? undefined : values[owner.index];
  if (definition === undefined) return '';
  const half = bytes.length / 2;
  return `${showBytes(definition.type, bytes.slice(0, half))} to ${showBytes(definition.type, bytes.slice(half))}`;
}

/** `30 ms to 50 ms, latency 0, timeout 4 s`. */
function connectionMeaning(bytes: Bytes): string {
  const [min = 0, max = 0, latency = 0, timeout = 0] = [0, 2, 4, 6].map((offset) => readU16le(bytes, offset) ?? 0);
  const interval =
    min === max ? showTime(us(min * 1250)) : `${showTime(us(min * 1250))} to ${showTime(us(max * 1250))}`;
  return `interval ${interval}, latency ${latency}, timeout ${showTime(us(timeout * 10_000))}`;
}

function bitWords(bits: number, words: readonly (readonly [bit: number, word: string])[]): readonly string[] {
  return words.filter(([bit]) => (bits & bit) !== 0).map(([, word]) => word);
}
