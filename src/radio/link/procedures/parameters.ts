import { us } from '../../../base/quantity.ts';
import type { Bytes } from '../../../base/bytes.ts';
import { hciErrors } from '../../../hci/error-codes.ts';
import { isAllowedWish, type ParameterWish } from '../../../hci/l2cap-signalling.ts';
import { channelSet } from '../../pdu/channel-selection.ts';
import { offsetTime, placeAnchor } from '../place-anchor.ts';
import { instantIn, noteInstant } from './choose-instant.ts';
import type { ControlPlane, Handlers } from './control-plane.ts';

/** Connection update, connection parameters request and channel map update. Core Vol 6 Part B 5.1.1, 5.1.2, 5.1.7. */

/** Tells a host the parameters as they are. */
function tell(plane: ControlPlane, status: number): void {
  const { interval, latency, timeout } = plane.link;
  plane.end.host.event('le-connection-update-complete', {
    status,
    handle: plane.handle,
    interval: interval / 1250,
    latency,
    timeout: timeout / 10_000,
  });
}

/** Begins a change of parameters at the host's wish: the central decides, the peripheral asks. */
export function startParameters(plane: ControlPlane, asked: ParameterWish): void {
  if (plane.isCentral) startUpdate(plane, asked);
  else askCentral(plane, asked);
}

/** The longest interval that was asked for: it costs both ends least. */
function startUpdate(plane: ControlPlane, asked: ParameterWish): void {
  plane.begin({
    request: 'connection-update-ind',
    start: () => {
      update(plane, asked);
    },
    refused: () => undefined,
  });
}

function update(plane: ControlPlane, asked: ParameterWish): void {
  const { link } = plane;
  const interval = us(asked.intervalMax * 1250);
  const timeout = us(asked.timeout * 10_000);
  const instant = instantIn(link);
  const neighbours = link.neighboursOf(plane.end);
  const windowOffset = placeAnchor(instant.anchor, interval, neighbours);
  const entry = {
    event: instant.event,
    known: false,
    apply: () => {
      const changed = link.interval !== interval || link.latency !== asked.latency || link.timeout !== timeout;
      link.moveAnchor(offsetTime(windowOffset));
      link.interval = interval;
      link.latency = asked.latency;
      link.timeout = timeout;
      tell(plane, 0);
      plane.finish('connection-update-ind');
      const peer = plane.peer;
      if (peer === undefined || !peer.end.open || !entry.known) return;
      if (changed || peer.running('connection-param-req')) tell(peer, 0);
      peer.finish('connection-param-req');
    },
  };
  link.instants.push(entry);
  plane.send({
    kind: 'connection-update-ind',
    windowSize: 1,
    windowOffset,
    interval: asked.intervalMax,
    latency: asked.latency,
    timeout: asked.timeout,
    instant: instant.event,
  });
}

function askCentral(plane: ControlPlane, asked: ParameterWish): void {
  const none = 0xffff;
  plane.begin({
    request: 'connection-param-req',
    start: () => {
      plane.send({
        kind: 'connection-param-req',
        ...asked,
        preferredPeriodicity: 0,
        referenceEvent: plane.link.counter,
        offset0: none,
        offset1: none,
        offset2: none,
        offset3: none,
        offset4: none,
        offset5: none,
      });
    },
    refused: (error) => {
      tell(plane, error);
    },
  });
}

/** The central's host agrees to what the peripheral asked for, with its own numbers. */
export function acceptParameters(plane: ControlPlane, chosen: ParameterWish): void {
  plane.parametersAsked = false;
  startUpdate(plane, chosen);
}

/** The central's host does not agree. */
export function refuseParameters(plane: ControlPlane, reason: number): void {
  plane.parametersAsked = false;
  plane.refuse('connection-param-req', reason);
}

/** Makes a connection use other channels. Only a central decides that. */
export function startChannelMap(plane: ControlPlane, channelMap: Bytes): void {
  const { link } = plane;
  plane.begin({
    request: 'channel-map-ind',
    start: () => {
      const { event } = instantIn(link);
      const apply = (): void => {
        link.channels = channelSet(channelMap);
        plane.finish('channel-map-ind');
      };
      link.instants.push({ event, known: false, apply });
      plane.send({ kind: 'channel-map-ind', channelMap, instant: event });
    },
    refused: () => undefined,
  });
}

export const parameterHandlers: Handlers = {
  'connection-update-ind': (plane, pdu) => {
    noteInstant(plane.link, pdu.instant);
  },
  'channel-map-ind': (plane, pdu) => {
    noteInstant(plane.link, pdu.instant);
  },
  'connection-param-req': (plane, { intervalMin, intervalMax, latency, timeout }) => {
    const asked = { intervalMin, intervalMax, latency, timeout };
    if (!plane.isCentral) plane.refuse('connection-param-req', hciErrors['unsupported-remote-feature']);
    else if (plane.running('connection-update-ind')) plane.refuse('connection-param-req', hciErrors['ll-collision']);
    else if (plane.link.instants.length > 0)
      plane.refuse('connection-param-req', hciErrors['different-transaction-collision']);
    else if (!isAllowedWish(asked)) plane.refuse('connection-param-req', hciErrors['invalid-ll-parameters']);
    else if (!plane.end.host.wants('le-remote-connection-parameter-request'))
      plane.refuse('connection-param-req', hciErrors['unsupported-remote-feature']);
    else {
      plane.parametersAsked = true;
      plane.end.host.event('le-remote-connection-parameter-request', { handle: plane.handle, ...asked });
    }
  },
};
