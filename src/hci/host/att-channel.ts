import type { Bytes } from '../../base/bytes.ts';
import { Gate, type Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import { failure, success, type LowerLayers, type PduChannel } from '../../att/link.ts';
import { fixedChannel } from '../l2cap.ts';
import { intervalUnits, timeoutUnits } from './air-units.ts';
import type { Central } from './central.ts';
import type { HostConnection } from './connection.ts';

/** How long a goodbye may take before nobody waits any more: an answer within the supervision timeout, and a little. */
const graceBeyondTimeout = us(1_000_000);

/**
 * A connection's attribute channel, for the client.
 *
 * @param lose breaks the radio link without a goodbye; left out where that cannot be done
 */
export function attChannel(
  central: Central,
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
    lower: lowerLayers(central, connection),
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
      central.host.disconnect(connection);
      await clock.waitFor(ended, us(connection.parameters.timeout + graceBeyondTimeout));
    },
  };
}

function lowerLayers(central: Central, connection: HostConnection): LowerLayers {
  return {
    get parameters() {
      return connection.parameters;
    },
    get dataLength() {
      return connection.dataLength;
    },
    get fragmentSize() {
      return connection.fragmentSize;
    },
    get reason() {
      return connection.reason;
    },
    sendFragments: (fragments) => {
      connection.sendFragments(fragments);
    },
    onFrame: (listener) => connection.onFrame(listener),
    async update({ interval, latency, timeout }) {
      const air = intervalUnits(interval);
      const wish = { intervalMin: air, intervalMax: air, latency, timeout: timeoutUnits(timeout) };
      const outcome = await central.update(connection, wish);
      if (outcome.ok) return success(outcome.value);
      if (!connection.isOpen) return failure({ kind: 'link-lost' });
      return failure(outcome.timeout ? { kind: 'timeout' } : { kind: 'not-reachable', about: outcome.about });
    },
  };
}
