import type { ControlPlane, Handlers } from './control-plane.ts';

/** Data length update. Core Vol 6 Part B 5.1.9. */

type Lengths = {
  readonly maxRxOctets: number;
  readonly maxRxTime: number;
  readonly maxTxOctets: number;
  readonly maxTxTime: number;
};

/** Begins to agree on longer data PDUs. */
export function startLength(plane: ControlPlane): void {
  plane.begin({
    request: 'length-req',
    start: () => {
      plane.send({ kind: 'length-req', ...own(plane) });
    },
    refused: () => undefined,
  });
}

function own(plane: ControlPlane): Lengths {
  const { maxRxOctets, maxRxTime } = plane.end.host.settings();
  const { maxTxOctets, maxTxTime } = plane.end;
  return { maxRxOctets, maxRxTime, maxTxOctets, maxTxTime };
}

/** Sets what both ends can do, and tells the host if it has changed. */
function agree(plane: ControlPlane, peer: Lengths): void {
  const { end } = plane;
  const mine = own(plane);
  const before = [end.txOctets, end.txTime, plane.rxOctets, plane.rxTime];
  end.txOctets = Math.min(mine.maxTxOctets, peer.maxRxOctets);
  end.txTime = Math.min(mine.maxTxTime, peer.maxRxTime);
  plane.rxOctets = Math.min(mine.maxRxOctets, peer.maxTxOctets);
  plane.rxTime = Math.min(mine.maxRxTime, peer.maxTxTime);
  const after = [end.txOctets, end.txTime, plane.rxOctets, plane.rxTime];
  if (after.every((value, i) => value === before[i])) return;
  end.host.event('le-data-length-change', {
    handle: plane.handle,
    txOctets: end.txOctets,
    txTime: end.txTime,
    rxOctets: plane.rxOctets,
    rxTime: plane.rxTime,
  });
}

export const lengthHandlers: Handlers = {
  'length-req': (plane, pdu) => {
    plane.forget('length-req');
    plane.send({ kind: 'length-rsp', ...own(plane) });
    agree(plane, pdu);
  },
  'length-rsp': (plane, pdu) => {
    if (!plane.running('length-req')) return;
    agree(plane, pdu);
    plane.finish('length-req');
  },
};
