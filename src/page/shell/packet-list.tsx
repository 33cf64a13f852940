import type { JSX } from 'preact';
import { toHex, type Bytes } from '../../base/bytes.ts';
import { describePdu } from '../../att/describe.ts';
import { board } from '../stores/board.ts';
import { packetCount, recentPackets, type Packet } from '../stores/packets.ts';
import packetListStyles from './packet-list.css?inline';
import { adoptStyles } from '../styles/adopt.ts';

adoptStyles(packetListStyles);

/** Packets that are listed: what a person can follow. */
const mostListed = 60;

/** What crossed, in octets and in words, the newest first. */
export function PacketList(): JSX.Element {
  const table = board.value?.plan.table;
  const packets = recentPackets.value;
  const asked = requests(packets);
  const listed = packets.slice(-mostListed).reverse();
  return (
    <section class="packets" aria-label="Packets">
      <p class="packets-count">
        {packetCount.value === 0
          ? 'No packet has crossed yet. Connect, then read, write or subscribe.'
          : `${packetCount.value} packets have crossed; the newest are listed first.`}
      </p>
      {/* Reached by the keyboard, since it scrolls. */}
      <ol class="packets-list" tabIndex={0} aria-label="Newest packets">
        {listed.map((packet) => (
          <li key={packet.id} class={packet.from === 'board' ? 'packets-board' : 'packets-central'}>
            <span class="packets-time mono">{(packet.at / 1e6).toFixed(3)} s</span>
            <span class="packets-from">{packet.from === 'board' ? '■ board →' : '← central ●'}</span>
            <span class="packets-words">{describePdu(packet.pdu, table, asked.get(packet.id))}</span>
            <code class="packets-octets">{toHex(packet.pdu, ' ')}</code>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** By the id of what the board sent: the request before it, which a response alone does not name. */
function requests(packets: readonly Packet[]): ReadonlyMap<number, Bytes> {
  const asked = new Map<number, Bytes>();
  let last: Bytes | undefined;
  for (const { id, from, pdu } of packets) {
    if (from === 'central') last = pdu;
    else if (last !== undefined) asked.set(id, last);
  }
  return asked;
}
