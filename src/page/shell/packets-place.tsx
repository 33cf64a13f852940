import { signal } from '@preact/signals';
import type { ComponentType, JSX } from 'preact';
import { showsPackets } from '../stores/view.ts';
import { say } from '../stores/words.ts';

const list = signal<ComponentType | undefined>(undefined);

/** The list of packets where it is wanted; its code is fetched the first time. */
export function PacketsPlace(): JSX.Element | null {
  if (!showsPackets.value) return null;
  const List = list.value;
  if (List !== undefined) return <List />;
  void fetchList();
  return null;
}

async function fetchList(): Promise<void> {
  try {
    list.value = (await import('./packet-list.tsx')).PacketList;
  } catch {
    say('refused', 'The list of packets could not be fetched. Connect to the network and press Packets again.');
  }
}
