import { us, type Microseconds } from '../../base/quantity.ts';
import type { NotifyPolicy } from '../../contract/model.ts';
import type { Table, ValueDefinition } from '../../table/model.ts';
import type { Connection } from '../air/connection.ts';
import { fragments } from '../air/fragment.ts';
import { pairTime } from '../../radio/air-time.ts';
import { valueHeader } from '../air/packing.ts';
import type { Source } from './link-run.ts';

/** What one subscribed characteristic puts on the link at the most, by its declared rate. */
export type Stream = {
  readonly id: string;
  readonly kind: 'notification' | 'indication';
  /** Octets of the longest value. */
  readonly octets: number;
  /** Octets that the MTU lets through. */
  readonly sent: number;
  /** Between two messages. */
  readonly spacing: Microseconds;
  /** False when the contract gives no rate bound; then one message in each connection interval is reckoned with. */
  readonly bounded: boolean;
  /** True when the value is sent at that rate whether it changes or not. */
  readonly steady: boolean;
  /** Of the packets from the board. */
  readonly payloads: readonly number[];
  /** Packet pairs that one message takes; an indication's confirmation is one more. */
  readonly pairs: readonly Microseconds[];
  /** Sum of the pairs. */
  readonly time: Microseconds;
};

/** L2CAP header and one octet of opcode. Core Vol 3 Part F 3.4.7.3. */
const confirmationPayload = 5;

/** The streams of a client that subscribes to everything, in handle order. */
export function streamsOf(table: Table, connection: Connection): readonly Stream[] {
  return table.values.flatMap((value) =>
    value.notify === undefined ? [] : [streamOf(value, value.notify, connection)],
  );
}

function streamOf(value: ValueDefinition, policy: NotifyPolicy, connection: Connection): Stream {
  const { phy, mtu, dataLength, encrypted, interval } = connection;
  const kind = value.access.includes('notify') ? 'notification' : 'indication';
  const sent = Math.min(value.maxLength, mtu - valueHeader);
  const payloads = fragments(sent + valueHeader, dataLength);
  const pairs = payloads.map((payload) => pairTime(phy, 0, payload, encrypted));
  if (kind === 'indication') pairs.push(pairTime(phy, confirmationPayload, 0, encrypted));
  const spacing = spacingOf(policy);
  return {
    id: value.id,
    kind,
    octets: value.maxLength,
    sent,
    spacing: spacing ?? interval,
    bounded: spacing !== undefined,
    steady: policy.on.kind === 'every',
    payloads,
    pairs,
    time: us(pairs.reduce((sum, pair) => sum + pair, 0)),
  };
}

/**
 * The streams as sources of a run, in their order; behind them a source of confirmations for each indication.
 *
 * @param arrivals how the messages of a stream come
 */
export function sourcesOf(
  streams: readonly Stream[],
  arrivals: (stream: Stream) => Source['arrivals'],
): readonly Source[] {
  const confirmed = streams.filter(({ kind }) => kind === 'indication');
  return [
    ...streams.map((stream): Source => ({ direction: 'up', payloads: stream.payloads, arrivals: arrivals(stream) })),
    ...confirmed.map((stream): Source => ({
      direction: 'down',
      payloads: [confirmationPayload],
      arrivals: arrivals(stream),
    })),
  ];
}

/** The shortest time between two messages; `undefined`: no bound. */
function spacingOf({ on, minSpacing }: NotifyPolicy): Microseconds | undefined {
  return on.kind === 'change' ? minSpacing : us(Math.max(on.period, minSpacing ?? 0));
}
