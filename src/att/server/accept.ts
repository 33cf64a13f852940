import { readU16le, type Bytes } from '../../base/bytes.ts';
import { attError } from '../../numbers/att-errors.ts';
import type { Row } from '../../table/model.ts';
import { checkValue } from '../../values/check.ts';
import { decodeUtf8 } from '../../values/utf8.ts';
import { longestValue } from '../pdu/model.ts';
import type { ServerEffect, ServerState } from '../server-model.ts';
import { cccdRefusal, configure } from './cccd.ts';
import { patchConnection, type Context } from './context.ts';
import { featuresRefusal, keptFeatures } from './features.ts';

/**
 * Error code for octets that cannot become the value of the attribute; `undefined` when they can. Length before
 * content. Who may write is another question (`access.ts`).
 */
export function valueRefusal(context: Context, row: Row, written: Bytes): number | undefined {
  const { content } = row;
  switch (content.kind) {
    case 'value': {
      const definition = context.table.values[content.index];
      if (definition === undefined) return attError.writeRequestRejected;
      const refusal = checkValue(definition.type, written);
      if (refusal === undefined) return undefined;
      return refusal.reason === 'length' ? attError.invalidAttributeValueLength : definition.refuseWith;
    }
    case 'description':
      if (written.length > longestValue) return attError.invalidAttributeValueLength;
      return decodeUtf8(written).ok ? undefined : attError.valueNotAllowed;
    case 'cccd':
      return cccdRefusal(content.allowed, written);
    case 'client-supported-features':
      return featuresRefusal(context.connection.clientFeatures, written);
    case 'constant':
    case 'service-changed':
      return attError.writeRequestRejected;
  }
}

/** Makes octets that were not refused the value of the attribute. */
export function store(
  context: Context,
  state: ServerState,
  row: Row,
  written: Bytes,
): { readonly state: ServerState; readonly effects: readonly ServerEffect[] } {
  const { content } = row;
  switch (content.kind) {
    case 'value': {
      const values = [...state.values];
      values[content.index] = written;
      return {
        state: { ...state, values },
        effects: [{ kind: 'written', connection: context.id, index: content.index, value: written }],
      };
    }
    case 'description':
      return {
        state: { ...state, descriptions: new Map(state.descriptions).set(row.handle, written) },
        effects: [],
      };
    case 'cccd':
      return configure(
        context.index,
        state,
        context.id,
        { handle: row.handle, of: content.of },
        readU16le(written, 0) ?? 0,
      );
    case 'client-supported-features':
      return { state: patchConnection(state, context.id, { clientFeatures: keptFeatures(written) }), effects: [] };
    case 'constant':
    case 'service-changed':
      return { state, effects: [] };
  }
}
