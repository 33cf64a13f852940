import type { Phy } from '../../../contract/model.ts';
import { hciErrors } from '../../../hci/error-codes.ts';
import type { LinkEnd } from '../link-end.ts';
import { instantIn, noteInstant } from './choose-instant.ts';
import type { ControlPlane, Handlers } from './control-plane.ts';

/** PHY update. Core Vol 6 Part B 5.1.10. */

/** Bits in PDUs and of the host's wishes. */
const phyBits = { '1M': 1, '2M': 2, coded: 4 } as const;
/** All three. */
export const allPhys = 7;

type PhyChoice = keyof typeof phyBits;

/** What a host wants to send and receive on, as bits; never none. */
export type PhyWish = { readonly txPhys: number; readonly rxPhys: number };

/** 1 = 1M, 2 = 2M, 3 = coded. Core Vol 4 Part E 7.8.47. */
export function phyNumber(phy: Phy): number {
  return phy === '1M' ? 1 : phy === '2M' ? 2 : 3;
}

/** The fastest in both; `undefined`: none. */
function choose(a: number, b: number): PhyChoice | undefined {
  return (['2M', '1M', 'coded'] as const).find((phy) => (a & b & phyBits[phy]) !== 0);
}

function phyOf(choice: PhyChoice, end: LinkEnd): Phy {
  if (choice !== 'coded') return choice;
  return end.host.settings().codedSymbols === 2 ? 'coded-s2' : 'coded-s8';
}

function tell(plane: ControlPlane, status: number): void {
  plane.end.host.event('le-phy-update-complete', {
    status,
    handle: plane.handle,
    txPhy: phyNumber(plane.end.phy),
    rxPhy: phyNumber(plane.link.other(plane.end).phy),
  });
}

/** Begins a change of PHY at the host's wish. */
export function startPhy(plane: ControlPlane, wish: PhyWish): void {
  plane.phyWish = wish;
  plane.begin({
    request: 'phy-req',
    start: () => {
      plane.send({ kind: 'phy-req', ...wish });
    },
    refused: (error) => {
      tell(plane, error);
    },
  });
}

function wishOf(plane: ControlPlane): PhyWish {
  const { txPhys, rxPhys } = plane.end.host.settings();
  return plane.phyWish ?? { txPhys, rxPhys };
}

/** The central decides, from both ends' wishes. */
function decide(plane: ControlPlane, peer: PhyWish): void {
  const { link } = plane;
  const mine = wishOf(plane);
  const down = newPhy(link.central, choose(mine.txPhys, peer.rxPhys));
  const up = newPhy(link.peripheral, choose(peer.txPhys, mine.rxPhys));
  if (down === undefined && up === undefined) {
    plane.send({ kind: 'phy-update-ind', toPeripheral: 0, toCentral: 0, instant: 0 });
    done(plane);
    return;
  }
  const { event } = instantIn(link);
  const entry = {
    event,
    known: false,
    apply: () => {
      if (down !== undefined) link.central.phy = down;
      if (up !== undefined) link.peripheral.phy = up;
      tell(plane, 0);
      plane.finish('phy-req');
      const other = plane.peer;
      if (other === undefined || !other.end.open || !entry.known) return;
      tell(other, 0);
      other.finish('phy-req');
    },
  };
  link.instants.push(entry);
  plane.send({ kind: 'phy-update-ind', toPeripheral: bitOf(down), toCentral: bitOf(up), instant: event });
}

/** The PHY an end changes to; `undefined`: it stays. */
function newPhy(end: LinkEnd, choice: PhyChoice | undefined): Phy | undefined {
  if (choice === undefined) return undefined;
  const phy = phyOf(choice, end);
  return phy === end.phy ? undefined : phy;
}

function bitOf(phy: Phy | undefined): number {
  return phy === undefined ? 0 : phy === '1M' ? 1 : phy === '2M' ? 2 : 4;
}

/** Nothing changes: only the host that asked is told. */
function done(plane: ControlPlane): void {
  if (!plane.running('phy-req')) return;
  tell(plane, 0);
  plane.finish('phy-req');
}

export const phyHandlers: Handlers = {
  'phy-req': (plane, pdu) => {
    if (!plane.isCentral) plane.send({ kind: 'phy-rsp', ...wishOf(plane) });
    else if (plane.running('phy-req')) plane.refuse('phy-req', hciErrors['ll-collision']);
    else if (plane.link.instants.length > 0) plane.refuse('phy-req', hciErrors['different-transaction-collision']);
    else decide(plane, pdu);
  },
  'phy-rsp': (plane, pdu) => {
    if (plane.isCentral && plane.running('phy-req')) decide(plane, pdu);
  },
  'phy-update-ind': (plane, pdu) => {
    if (pdu.toPeripheral === 0 && pdu.toCentral === 0) done(plane);
    else noteInstant(plane.link, pdu.instant);
  },
};
