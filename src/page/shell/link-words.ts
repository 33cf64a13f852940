import type { Phy } from '../../contract/model.ts';
import { showTime } from '../../base/quantity.ts';
import type { Radio } from '../../contract/model.ts';
import type { LinkState } from '../worker/protocol.ts';

const phyWords: Readonly<Record<Phy, string>> = {
  '1M': '1M PHY',
  '2M': '2M PHY',
  'coded-s2': 'coded PHY, S=2',
  'coded-s8': 'coded PHY, S=8',
};

/** What is written on the link line. `boardMs`: the board's clock, for what is still to come. */
export function linkWords(state: LinkState, radio: Radio | undefined, boardMs: number): string {
  switch (state.kind) {
    case 'silent':
      return 'not advertising';
    case 'advertising':
      return radio === undefined ? 'advertising' : `advertising every ${showTime(radio.advertise.interval.min)}`;
    case 'connecting':
      return 'connecting';
    case 'connected': {
      if (radio === undefined) return 'connected';
      const { interval, phy } = radio.connection;
      return `connected · ${showTime(interval.min)} · MTU ${state.mtu} · ${phyWords[phy]}`;
    }
    case 'lost': {
      const left = state.noticedAt - boardMs;
      return left > 0 ? `lost · the board notices in ${(left / 1000).toFixed(1)} s` : 'lost';
    }
  }
}
