import { isAllowedWish } from '../../../hci/l2cap-signalling.ts';
import { startEncryption, giveKey, refuseKey } from '../../link/procedures/encryption.ts';
import { startFeatures } from '../../link/procedures/features.ts';
import { startLength } from '../../link/procedures/length.ts';
import {
  acceptParameters,
  refuseParameters,
  startChannelMap,
  startParameters,
} from '../../link/procedures/parameters.ts';
import { phyNumber, startPhy } from '../../link/procedures/phy.ts';
import { usedChannels } from '../../pdu/channels.ts';
import { begun, refuse, within, type CommandHandlers } from '../answer.ts';
import type { Core } from '../core.ts';
import { allowedDataLength, wishedPhys } from './le-general.ts';

export const connectionHandlers: CommandHandlers<Core> = {
  'le-connection-update': (core, { handle, ...asked }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    if (!isAllowedWish(asked) || asked.eventLengthMin > asked.eventLengthMax) return refuse('invalid-parameters');
    const { intervalMin, intervalMax, latency, timeout } = asked;
    plane.link.act(() => {
      startParameters(plane, { intervalMin, intervalMax, latency, timeout });
    });
    return begun;
  },
  'le-remote-connection-parameter-request-reply': (core, { handle, ...chosen }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    if (!isAllowedWish(chosen)) return refuse('invalid-parameters');
    if (!plane.parametersAsked) return refuse('command-disallowed');
    plane.link.act(() => {
      acceptParameters(plane, chosen);
    });
    return { handle };
  },
  'le-remote-connection-parameter-request-negative-reply': (core, { handle, reason }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    if (!plane.parametersAsked) return refuse('command-disallowed');
    plane.link.act(() => {
      refuseParameters(plane, reason);
    });
    return { handle };
  },
  'le-set-host-channel-classification': (core, { channelMap }) => {
    if (usedChannels(channelMap).length < 2) return refuse('invalid-parameters');
    core.set.channelMap = channelMap;
    for (const plane of core.connections.values()) {
      if (!plane.isCentral) continue;
      plane.link.act(() => {
        startChannelMap(plane, channelMap);
      });
    }
    return {};
  },
  'le-read-channel-map': (core, { handle }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    plane.link.sync();
    return { handle, channelMap: plane.link.channels.map };
  },
  'le-read-remote-features': (core, { handle }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    plane.link.act(() => {
      startFeatures(plane);
    });
    return begun;
  },
  'le-enable-encryption': (core, { handle, ...request }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    // Only the central starts encryption. Core Vol 4 Part E 7.8.24.
    if (!plane.isCentral) return refuse('command-disallowed');
    plane.link.act(() => {
      startEncryption(plane, request);
    });
    return begun;
  },
  'le-long-term-key-request-reply': (core, { handle, key }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    if (plane.encryption?.keyAsked !== true) return refuse('command-disallowed');
    plane.link.act(() => {
      giveKey(plane, key);
    });
    return { handle };
  },
  'le-long-term-key-request-negative-reply': (core, { handle }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    if (plane.encryption?.keyAsked !== true) return refuse('command-disallowed');
    plane.link.act(() => {
      refuseKey(plane);
    });
    return { handle };
  },
  'le-set-data-length': (core, { handle, txOctets, txTime }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    if (!allowedDataLength(txOctets, txTime)) return refuse('invalid-parameters');
    plane.link.act(() => {
      plane.end.maxTxOctets = txOctets;
      plane.end.maxTxTime = txTime;
      startLength(plane);
    });
    return { handle };
  },
  'le-read-phy': (core, { handle }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    plane.link.sync();
    return { handle, txPhy: phyNumber(plane.end.phy), rxPhy: phyNumber(plane.link.other(plane.end).phy) };
  },
  'le-set-phy': (core, { handle, allPhys, txPhys, rxPhys, options }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    const tx = wishedPhys((allPhys & 1) !== 0, txPhys);
    const rx = wishedPhys((allPhys & 2) !== 0, rxPhys);
    if (tx === undefined || rx === undefined || !within(options, 0, 2)) return refuse('invalid-parameters');
    if (options !== 0) core.set.codedSymbols = options === 1 ? 2 : 8;
    plane.link.act(() => {
      startPhy(plane, { txPhys: tx, rxPhys: rx });
    });
    return begun;
  },
};
