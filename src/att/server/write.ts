import { attError } from '../../numbers/att-errors.ts';
import type { AttCommand, AttRequest } from '../pdu/model.ts';
import type { ServerStep } from '../server-model.ts';
import { store, valueRefusal } from './accept.ts';
import { writeRefusal } from './access.ts';
import { nothing, refuse, respond, type Context, type Reply } from './context.ts';

type Write = Extract<AttRequest, { kind: 'write-request' }>;
type WriteCommand = Extract<AttCommand, { kind: 'write-command' }>;

/** Writes a whole value, or changes nothing and says why. Core Vol 3 Part F 3.4.5.1. */
export function write(context: Context, { handle, value }: Write): Reply {
  const { state, connection, index } = context;
  const row = index.byHandle.get(handle);
  if (row === undefined) return refuse(context, attError.invalidHandle, handle);
  const refusal = writeRefusal(state, connection, row, 'request') ?? valueRefusal(context, row, value);
  if (refusal !== undefined) return refuse(context, refusal, handle);
  const stored = store(context, state, row, value);
  return respond(context, { kind: 'write-response' }, stored.state, stored.effects);
}

/** As a Write Request, but what is wrong is ignored. Core Vol 3 Part F 3.4.5.3. */
export function writeCommand(context: Context, { handle, value }: WriteCommand): ServerStep {
  const { state, connection, index } = context;
  const row = index.byHandle.get(handle);
  const taken =
    row !== undefined &&
    writeRefusal(state, connection, row, 'command') === undefined &&
    valueRefusal(context, row, value) === undefined;
  return taken ? store(context, state, row, value) : { state, effects: nothing };
}
