import type { Bytes } from '../../base/bytes.ts';
import { Gate, type Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import type { PduChannel } from '../../att/link.ts';
import { fixedChannel } from '../l2cap.ts';
import type { HostConnection } from './connection.ts';
import type { Host } from './host.ts';

/** How long a goodbye may take before nobody waits any more: an answer within the supervision timeout, and a little. */
const graceBeyondTimeout = us(1_000_000);

/**
 * A connection's attribute channel, for the client.
 *
 * @param lose breaks the radio link without a goodbye; left out where that cannot be done
 */
export function attChannel(
  host: Host,
  connection: HostConnection,
  clock: Clock,
  lose?: () => void | Promise<void>,
): PduChannel {
  let dropped = false;
  return {
    get isOpen() {
      return connection.isOpen && !dropped;
    },
    send(pdu: Bytes) {
      connection.send(fixedChannel.attribute, pdu.slice());
    },
    onPdu(listener) {
      connection.onFrame(({ channel, payload }) => {
        if (channel === fixedChannel.attribute && !dropped) listener(payload);
      });
    },
    onClose(listener) {
      connection.onEnd(listener);
    },
    async drop(how) {
      if (!connection.isOpen) return;
      dropped = true;
      if (how === 'lose' && lose !== undefined) {
        await lose();
        return;
      }
      const ended = new Gate();
      connection.onEnd(() => {
        ended.open();
      });
      host.disconnect(connection);
      await clock.waitFor(ended, us(connection.parameters.timeout + graceBeyondTimeout));
    },
  };
}
