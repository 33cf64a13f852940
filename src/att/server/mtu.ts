import { attError } from '../../numbers/att-errors.ts';
import { defaultMtu, type AttRequest } from '../pdu/model.ts';
import { patchConnection, refuse, respond, type Context, type Reply } from './context.ts';

type ExchangeMtu = Extract<AttRequest, { kind: 'exchange-mtu-request' }>;

/**
 * The MTU in force is the smaller of both sides', never below 23. Core Vol 3 Part F 3.4.2: a client asks once in a
 * connection; asking again is refused and changes nothing.
 */
export function exchangeMtu(context: Context, request: ExchangeMtu): Reply {
  if (context.connection.mtuExchanged) return refuse(context, attError.requestNotSupported, 0);
  const { maxMtu } = context.options;
  const mtu = Math.max(defaultMtu, Math.min(request.mtu, maxMtu));
  return respond(
    context,
    { kind: 'exchange-mtu-response', mtu: maxMtu },
    patchConnection(context.state, context.id, { mtu, mtuExchanged: true }),
  );
}
