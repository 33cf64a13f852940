import { noBytes, u16le, u8, type Bytes } from '../base/bytes.ts';
import type { Row, Table } from './model.ts';

/** The value that a client finds who comes for the first time after power-up; no octets for Service Changed. */
export function initialValue({ content }: Row, { values }: Pick<Table, 'values'>): Bytes {
  switch (content.kind) {
    case 'constant':
    case 'description':
      return content.bytes;
    case 'value':
      return values[content.index]?.start ?? noBytes;
    case 'cccd':
      return u16le(0);
    case 'service-changed':
      return noBytes;
    case 'client-supported-features':
      return u8(0);
  }
}
