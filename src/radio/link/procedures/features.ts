import type { ControlPlane, Handlers } from './control-plane.ts';

/** Exchange of features and versions. Core Vol 6 Part B 5.1.4, 5.1.5. */

/** Answers the host's Read Remote Features: from what is known, or by asking. */
export function startFeatures(plane: ControlPlane): void {
  if (plane.peerFeatures !== undefined) {
    tellFeatures(plane, 0);
    return;
  }
  const request = plane.isCentral ? 'feature-req' : 'peripheral-feature-req';
  plane.begin({
    request,
    start: () => {
      plane.send({ kind: request, features: plane.end.host.settings().features });
    },
    refused: (error) => {
      tellFeatures(plane, error);
    },
  });
}

function tellFeatures(plane: ControlPlane, status: number): void {
  const features = plane.peerFeatures ?? new Uint8Array(8);
  plane.end.host.event('le-read-remote-features-complete', { status, handle: plane.handle, features });
}

/** Answers the host's Read Remote Version: from what is known, or by asking. */
export function startVersion(plane: ControlPlane): void {
  if (plane.peerVersion !== undefined) {
    tellVersion(plane, plane.peerVersion);
    return;
  }
  plane.versionAsked = true;
  plane.begin({
    request: 'version-ind',
    start: () => {
      if (plane.peerVersion === undefined) sendVersion(plane);
      else plane.finish('version-ind');
    },
    refused: () => undefined,
  });
}

function sendVersion(plane: ControlPlane): void {
  if (plane.versionSent) return;
  plane.versionSent = true;
  plane.send({ kind: 'version-ind', ...plane.end.host.settings().version });
}

function tellVersion(plane: ControlPlane, version: NonNullable<ControlPlane['peerVersion']>): void {
  plane.end.host.event('remote-version-complete', { status: 0, handle: plane.handle, ...version });
}

export const featureHandlers: Handlers = {
  'feature-req': (plane, pdu) => {
    plane.peerFeatures = pdu.features;
    plane.send({ kind: 'feature-rsp', features: plane.end.host.settings().features });
  },
  'peripheral-feature-req': (plane, pdu) => {
    plane.peerFeatures = pdu.features;
    plane.send({ kind: 'feature-rsp', features: plane.end.host.settings().features });
  },
  'feature-rsp': (plane, pdu) => {
    plane.peerFeatures = pdu.features;
    tellFeatures(plane, 0);
    plane.finish(plane.isCentral ? 'feature-req' : 'peripheral-feature-req');
  },
  'version-ind': (plane, { version, company, subversion }) => {
    plane.peerVersion = { version, company, subversion };
    sendVersion(plane);
    if (plane.versionAsked) tellVersion(plane, plane.peerVersion);
    plane.versionAsked = false;
    plane.finish('version-ind');
  },
};
