import { us } from '../../../base/quantity.ts';
import type { AdvertisementKind } from '../../advertising/scanner.ts';
import { advertisingChannels } from '../../pdu/channels.ts';
import { hciErrors } from '../../../hci/error-codes.ts';
import { refuse, within, type CommandHandlers } from '../answer.ts';
import { slots, type Core } from '../core.ts';

/** Advertising_Type 0..4. Core Vol 4 Part E 7.8.5. */
const kinds: readonly AdvertisementKind[] = ['connectable', 'directed', 'scannable', 'non-connectable', 'directed'];
const highDutyDirected = 1;

/** Directed at high duty cycle: an event at most every 3.75 ms, for at most 1.28 s. Core Vol 6 Part B 4.4.2.4.3. */
const highDutyInterval = us(3750);
const highDutyTime = 1_280_000;

/** Begins to advertise as the host has set it; tells whether it could. */
function startAdvertising(core: Core): boolean {
  const { advertising } = core.set;
  const own = core.ownAddress(advertising.ownAddressType);
  const kind = kinds[advertising.type];
  if (own === undefined || kind === undefined) return false;
  const highDuty = advertising.type === highDutyDirected;
  const target =
    kind === 'directed' ? { type: advertising.peerAddressType, address: advertising.peerAddress } : undefined;
  const settings = {
    kind,
    own,
    target,
    // The longest that the host allows costs least.
    interval: highDuty ? highDutyInterval : slots(advertising.intervalMax),
    highDuty,
    channels: advertisingChannels.filter((_, i) => ((advertising.channelMap >> i) & 1) === 1),
    acceptsScan: (device: Parameters<Core['passes']>[0]) => core.passes(device, (advertising.filterPolicy & 1) !== 0),
    acceptsConnection: (device: Parameters<Core['passes']>[0]) =>
      core.passes(device, (advertising.filterPolicy & 2) !== 0),
    channelSelection2: core.channelSelection2,
  };
  core.advertiser.start(settings);
  if (highDuty) {
    core.air.clock.schedule(us(core.now + highDutyTime), () => {
      if (core.advertiser.settings !== settings) return;
      core.advertiser.stop();
      core.event('le-connection-complete', {
        status: hciErrors['advertising-timeout'],
        handle: 0,
        role: 1,
        peerAddressType: advertising.peerAddressType,
        peerAddress: advertising.peerAddress,
        interval: 0,
        latency: 0,
        timeout: 0,
        clockAccuracy: 0,
      });
    });
  }
  return true;
}

export const advertisingHandlers: CommandHandlers<Core> = {
  'le-set-advertising-parameters': (core, parameters) => {
    const { intervalMin, intervalMax, type, ownAddressType, channelMap, filterPolicy, peerAddressType } = parameters;
    if (core.advertiser.settings !== undefined) return refuse('command-disallowed');
    if (type > 4 || ownAddressType > 3 || peerAddressType > 1 || filterPolicy > 3) return refuse('invalid-parameters');
    if (channelMap === 0 || channelMap > 7) return refuse('invalid-parameters');
    const inRange = within(intervalMin, 0x20, 0x4000) && within(intervalMax, intervalMin, 0x4000);
    if (type !== highDutyDirected && !inRange) return refuse('invalid-parameters');
    // Resolvable private addresses made by the controller need its resolving list.
    if (ownAddressType > 1) return refuse('unsupported-parameter');
    core.set.advertising = parameters;
    return {};
  },
  'le-read-advertising-tx-power': () => ({ power: 0 }),
  'le-set-advertising-data': (core, { data }) => {
    core.advertiser.data = data;
    return {};
  },
  'le-set-scan-response-data': (core, { data }) => {
    core.advertiser.scanResponse = data;
    return {};
  },
  'le-set-advertising-enable': (core, { enable }) => {
    if (enable > 1) return refuse('invalid-parameters');
    if (enable === 0) {
      core.advertiser.stop();
      return {};
    }
    if (core.advertiser.settings !== undefined) return {};
    const connectable = ['connectable', 'directed'].includes(kinds[core.set.advertising.type] ?? '');
    if (connectable && core.connections.size >= core.mostConnections) return refuse('connection-limit-exceeded');
    return startAdvertising(core) ? {} : refuse('invalid-parameters');
  },
};
