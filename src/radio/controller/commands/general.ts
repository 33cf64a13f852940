import { hciErrors } from '../../../hci/error-codes.ts';
import { startVersion } from '../../link/procedures/features.ts';
import { startTerminate } from '../../link/procedures/terminate.ts';
import { begun, refuse, silent, within, type CommandHandlers } from '../answer.ts';
import { companyIdentifier, linkVersion, type Core } from '../core.ts';

/** Reasons that a host may give for a disconnection. Core Vol 4 Part E 7.1.6. */
const disconnectReasons: readonly number[] = [
  hciErrors['authentication-failure'],
  hciErrors['remote-user-terminated'],
  hciErrors['remote-low-resources'],
  hciErrors['remote-power-off'],
  hciErrors['unsupported-remote-feature'],
  hciErrors['pairing-with-unit-key-not-supported'],
  hciErrors['unacceptable-connection-parameters'],
];

export const generalHandlers: CommandHandlers<Core> = {
  reset: (core) => {
    core.reset();
    return {};
  },
  'set-event-mask': (core, { mask }) => {
    core.set.eventMask = mask;
    return {};
  },
  'read-local-version': () => ({
    hciVersion: linkVersion,
    hciSubversion: 0,
    lmpVersion: linkVersion,
    company: companyIdentifier,
    lmpSubversion: 0,
  }),
  // LE, and no BR/EDR. Core Vol 2 Part C 3.3.
  'read-local-supported-features': () => ({ features: Uint8Array.of(0, 0, 0, 0, 0x60, 0, 0, 0) }),
  'read-bd-addr': (core) => ({ address: core.address }),
  'read-rssi': (core, { handle }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    const other = plane.link.other(plane.end);
    return { handle, rssi: core.air.signal(core.radio, other.radio) };
  },
  'read-transmit-power': (core, { handle, which }) => {
    if (!core.connections.has(handle)) return refuse('unknown-connection');
    return within(which, 0, 1) ? { handle, power: 0 } : refuse('invalid-parameters');
  },
  'set-controller-to-host-flow-control': (core, { enable }) => {
    // Only ACL data can be held back: there is no synchronous data.
    if (enable > 1) return refuse(enable > 3 ? 'invalid-parameters' : 'unsupported-parameter');
    core.flow.enable(enable === 1);
    return {};
  },
  'host-buffer-size': (core, { aclLength, aclCount }) => {
    if (aclLength < 27 || aclCount === 0) return refuse('invalid-parameters');
    core.flow.setBuffers(aclCount);
    return {};
  },
  'host-number-of-completed-packets': (core, { completed }) => {
    let right = true;
    for (const { handle, count } of completed) right = core.flow.completed(handle, count) && right;
    return right ? silent : refuse('invalid-parameters');
  },
  disconnect: (core, { handle, reason }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    if (!disconnectReasons.includes(reason)) return refuse('invalid-parameters');
    if (plane.leaving) return refuse('command-disallowed');
    plane.link.act(() => {
      startTerminate(plane, reason);
    });
    return begun;
  },
  'read-remote-version': (core, { handle }) => {
    const plane = core.connections.get(handle);
    if (plane === undefined) return refuse('unknown-connection');
    plane.link.act(() => {
      startVersion(plane);
    });
    return begun;
  },
};
