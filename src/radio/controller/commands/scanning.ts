import type { DeviceAddress } from '../../../hci/address.ts';
import { addressType, deviceKey } from '../../../hci/address.ts';
import { hciErrors } from '../../../hci/error-codes.ts';
import { isAllowedWish } from '../../../hci/l2cap-signalling.ts';
import { begun, refuse, within, type CommandHandlers } from '../answer.ts';
import { acceptListSize, slots, type Core } from '../core.ts';

/** Whether a window of scanning is allowed: 2.5 ms to 10.24 s, window not longer than interval. Core Vol 4 Part E 7.8.10. */
function allowedWindow(interval: number, window: number): boolean {
  return within(interval, 4, 0x4000) && within(window, 4, interval);
}

function acceptListInUse(core: Core): boolean {
  const advertises = core.advertiser.settings !== undefined && core.set.advertising.filterPolicy !== 0;
  const scans = core.scanner.scanning && core.set.scan.filterPolicy === 1;
  return advertises || scans || core.creation?.filterPolicy === 1;
}

/** What ends the search for a connection. Core Vol 4 Part E 7.8.13, 7.7.65.1. */
function giveUp(core: Core): void {
  const { creation } = core;
  core.creation = undefined;
  core.scanner.initiate(undefined);
  core.onListening();
  core.event('le-connection-complete', {
    status: hciErrors['unknown-connection'],
    handle: 0,
    role: 0,
    peerAddressType: creation?.peerAddressType ?? 0,
    peerAddress: creation?.peerAddress ?? '00:00:00:00:00:00',
    interval: 0,
    latency: 0,
    timeout: 0,
    clockAccuracy: 0,
  });
}

export const scanningHandlers: CommandHandlers<Core> = {
  'le-set-random-address': (core, { address }) => {
    const busy = core.advertiser.settings !== undefined || core.scanner.active;
    if (busy) return refuse('command-disallowed');
    core.set.randomAddress = address;
    return {};
  },
  'le-set-scan-parameters': (core, parameters) => {
    const { type, interval, window, ownAddressType, filterPolicy } = parameters;
    if (core.scanner.scanning) return refuse('command-disallowed');
    if (type > 1 || ownAddressType > 3 || filterPolicy > 3 || !allowedWindow(interval, window))
      return refuse('invalid-parameters');
    if (ownAddressType > 1 || filterPolicy > 1) return refuse('unsupported-parameter');
    core.set.scan = parameters;
    return {};
  },
  'le-set-scan-enable': (core, { enable, filterDuplicates }) => {
    if (enable > 1 || filterDuplicates > 1) return refuse('invalid-parameters');
    const { scan } = core.set;
    const own = core.ownAddress(scan.ownAddressType);
    if (enable === 1 && own === undefined) return refuse('invalid-parameters');
    const settings =
      enable === 0 || own === undefined
        ? undefined
        : {
            since: core.now,
            interval: slots(scan.interval),
            window: slots(scan.window),
            active: scan.type === 1,
            own,
            filterDuplicates: filterDuplicates === 1,
            accepts: (device: DeviceAddress) => core.passes(device, scan.filterPolicy === 1),
          };
    core.scanner.scan(settings);
    core.onListening();
    return {};
  },
  'le-create-connection': (core, creation) => {
    const { scanInterval, scanWindow, filterPolicy, peerAddressType, peerAddress, ownAddressType } = creation;
    if (core.creation !== undefined) return refuse('command-disallowed');
    const known = filterPolicy <= 1 && peerAddressType <= 3 && ownAddressType <= 3;
    if (!known || !allowedWindow(scanInterval, scanWindow) || !isAllowedWish(creation))
      return refuse('invalid-parameters');
    if (creation.eventLengthMin > creation.eventLengthMax) return refuse('invalid-parameters');
    if (ownAddressType > 1) return refuse('unsupported-parameter');
    const own = core.ownAddress(ownAddressType);
    if (own === undefined) return refuse('invalid-parameters');
    if (core.connections.size >= core.mostConnections) return refuse('connection-limit-exceeded');
    const peer = { type: peerAddressType & 1, address: peerAddress };
    const connected = [...core.peers.values()].some((other) => deviceKey(other) === deviceKey(peer));
    if (filterPolicy === 0 && connected) return refuse('connection-exists');
    core.creation = creation;
    core.scanner.initiate({
      since: core.now,
      interval: slots(scanInterval),
      window: slots(scanWindow),
      own,
      accepts: (device) => (filterPolicy === 1 ? core.passes(device, true) : deviceKey(device) === deviceKey(peer)),
    });
    core.onListening();
    return begun;
  },
  'le-create-connection-cancel': (core) => {
    if (core.creation === undefined) return refuse('command-disallowed');
    giveUp(core);
    return {};
  },
  'le-read-accept-list-size': () => ({ size: acceptListSize }),
  'le-clear-accept-list': (core) => {
    if (acceptListInUse(core)) return refuse('command-disallowed');
    core.set.acceptList.clear();
    return {};
  },
  'le-add-to-accept-list': (core, { addressType: type, address }) => {
    // 0xFF stands for devices that advertise without an address: only with extended advertising.
    if (type > addressType.random && type !== 0xff) return refuse('invalid-parameters');
    if (acceptListInUse(core)) return refuse('command-disallowed');
    const key = deviceKey({ type, address });
    if (core.set.acceptList.size >= acceptListSize && !core.set.acceptList.has(key)) return refuse('memory-exceeded');
    core.set.acceptList.set(key, { type, address });
    return {};
  },
  'le-remove-from-accept-list': (core, { addressType: type, address }) => {
    if (type > addressType.random && type !== 0xff) return refuse('invalid-parameters');
    if (acceptListInUse(core)) return refuse('command-disallowed');
    core.set.acceptList.delete(deviceKey({ type, address }));
    return {};
  },
};
