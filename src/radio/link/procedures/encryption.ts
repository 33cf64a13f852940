import type { Bytes } from '../../../base/bytes.ts';
import { hciErrors } from '../../../hci/error-codes.ts';
import { LinkCipher, sessionKey, type Direction } from '../../pdu/link-cipher.ts';
import type { ControlPlane, EncryptionRequest, Handlers } from './control-plane.ts';

/** Encryption start and pause. Core Vol 6 Part B 5.1.3. Octets least significant first, as in HCI and in the PDUs. */

function randomOctets(plane: ControlPlane, length: number): Bytes {
  return Uint8Array.from({ length }, () => plane.end.host.random.int(256));
}

function directions(plane: ControlPlane): { readonly tx: Direction; readonly rx: Direction } {
  return plane.isCentral
    ? { tx: 'central-to-peripheral', rx: 'peripheral-to-central' }
    : { tx: 'peripheral-to-central', rx: 'central-to-peripheral' };
}

/** Begins, or begins anew with another key, at the wish of the central's host. */
export function startEncryption(plane: ControlPlane, request: EncryptionRequest): void {
  plane.begin({
    request: 'enc-req',
    start: () => {
      plane.encryption = {
        request,
        centralDiversifier: randomOctets(plane, 8),
        centralVector: randomOctets(plane, 4),
        material: undefined,
        refresh: plane.end.encrypted,
        keyAsked: false,
        session: undefined,
      };
      plane.end.dataPaused = true;
      if (plane.end.encrypted) plane.send({ kind: 'pause-enc-req' });
      else sendRequest(plane);
    },
    refused: (error) => {
      over(plane, error);
    },
  });
}

function sendRequest(plane: ControlPlane): void {
  const { encryption } = plane;
  if (encryption?.request === undefined) return;
  const { random, diversifier } = encryption.request;
  const { centralDiversifier, centralVector } = encryption;
  plane.send({ kind: 'enc-req', random, diversifier, centralDiversifier, centralVector });
}

/** The host of the peripheral has the key. */
export function giveKey(plane: ControlPlane, key: Bytes): void {
  const { encryption, end } = plane;
  if (encryption?.material === undefined) return;
  const session = sessionKey(key, encryption.material);
  plane.encryption = { ...encryption, keyAsked: false, session };
  end.rxCipher = new LinkCipher(session, encryption.material, directions(plane).rx);
  plane.send({ kind: 'start-enc-req' });
}

/** The host of the peripheral has no key. */
export function refuseKey(plane: ControlPlane): void {
  const { encryption, end } = plane;
  if (encryption === undefined) return;
  plane.encryption = undefined;
  end.dataPaused = false;
  plane.refuse('enc-req', hciErrors['pin-or-key-missing']);
}

/** Tells the host how it went, and lets its data go on. */
function over(plane: ControlPlane, status: number): void {
  const refresh = plane.encryption?.refresh ?? false;
  const { handle, end } = plane;
  plane.encryption = undefined;
  end.dataPaused = false;
  if (status === 0 && refresh) end.host.event('encryption-key-refresh-complete', { status, handle });
  else end.host.event('encryption-change', { status, handle, enabled: status === 0 ? 1 : 0 });
}

export const encryptionHandlers: Handlers = {
  'enc-req': (plane, pdu) => {
    const { end, handle } = plane;
    const material = {
      centralDiversifier: pdu.centralDiversifier,
      centralVector: pdu.centralVector,
      peripheralDiversifier: randomOctets(plane, 8),
      peripheralVector: randomOctets(plane, 4),
    };
    const { centralDiversifier, centralVector, peripheralDiversifier, peripheralVector } = material;
    const refresh = plane.encryption?.refresh ?? false;
    const known = { request: undefined, centralDiversifier, centralVector, material, refresh, session: undefined };
    plane.encryption = { ...known, keyAsked: true };
    end.dataPaused = true;
    plane.send({ kind: 'enc-rsp', peripheralDiversifier, peripheralVector });
    if (end.host.wants('le-long-term-key-request')) {
      end.host.event('le-long-term-key-request', { handle, random: pdu.random, diversifier: pdu.diversifier });
    } else refuseKey(plane);
  },
  'enc-rsp': (plane, { peripheralDiversifier, peripheralVector }) => {
    const { encryption } = plane;
    if (encryption === undefined) return;
    const { centralDiversifier, centralVector } = encryption;
    const material = { centralDiversifier, centralVector, peripheralDiversifier, peripheralVector };
    plane.encryption = { ...encryption, material };
  },
  'start-enc-req': (plane) => {
    const { encryption, end } = plane;
    if (encryption?.material === undefined || encryption.request === undefined) return;
    const key = sessionKey(encryption.request.key, encryption.material);
    end.txCipher = new LinkCipher(key, encryption.material, directions(plane).tx);
    end.rxCipher = new LinkCipher(key, encryption.material, directions(plane).rx);
    plane.send({ kind: 'start-enc-rsp' });
  },
  'start-enc-rsp': (plane) => {
    const { encryption, end } = plane;
    if (encryption?.material === undefined) return;
    if (plane.isCentral) {
      over(plane, 0);
      plane.finish('enc-req');
      return;
    }
    if (encryption.session === undefined) return;
    end.txCipher = new LinkCipher(encryption.session, encryption.material, directions(plane).tx);
    plane.send({ kind: 'start-enc-rsp' });
    over(plane, 0);
  },
  // The peripheral answers still encrypted, and reads what follows in the clear.
  'pause-enc-req': (plane) => {
    const { end } = plane;
    end.dataPaused = true;
    const nothing = new Uint8Array(0);
    plane.encryption = {
      request: undefined,
      centralDiversifier: nothing,
      centralVector: nothing,
      material: undefined,
      refresh: true,
      keyAsked: false,
      session: undefined,
    };
    plane.send({ kind: 'pause-enc-rsp' });
    end.rxCipher = undefined;
  },
  'pause-enc-rsp': (plane) => {
    const { end } = plane;
    end.txCipher = undefined;
    if (!plane.isCentral) return;
    end.rxCipher = undefined;
    plane.send({ kind: 'pause-enc-rsp' });
    sendRequest(plane);
  },
};
