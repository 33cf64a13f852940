import type { Random } from '../../base/random.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import type { Air } from '../air.ts';
import type { ConnectData } from '../pdu/advertising-pdu.ts';
import { channelSet } from '../pdu/channel-selection.ts';
import type { Radio } from '../radio.ts';
import { Link } from './link.ts';
import { LinkEnd, type Role } from './link-end.ts';
import type { LinkHost } from './link-host.ts';
import { greatestDataLength } from './payload-limit.ts';
import { offsetTime } from './place-anchor.ts';
import { ControlPlane } from './procedures/control-plane.ts';
import { startLength } from './procedures/length.ts';
import { receiveControl } from './procedures/registry.ts';

/** From the end of CONNECT_IND to the transmit window, besides the offset. Core Vol 6 Part B 4.5.3. */
export const windowDelay = us(1250);

export type ConnectOptions = {
  readonly air: Air;
  readonly random: Random;
  readonly data: ConnectData;
  readonly channelSelection2: boolean;
  /** The most that the central spends on one event, µs. */
  readonly eventLength: number;
  /** End of the CONNECT_IND. */
  readonly created: Microseconds;
  readonly central: { readonly radio: Radio; readonly host: LinkHost };
  /** `host` is missing when the request did not reach it. */
  readonly peripheral: { readonly radio: Radio; readonly host: LinkHost | undefined };
};

export type Connected = {
  readonly link: Link;
  readonly central: ControlPlane;
  /** `undefined` when the request did not reach it. */
  readonly peripheral: ControlPlane | undefined;
};

/** Whoever never got the request. */
const nobody: LinkHost = {
  handle: 0,
  random: { int: () => 0, unit: () => 0, normal: () => 0 },
  settings: () => ({
    features: new Uint8Array(8),
    version: { version: 0, company: 0, subversion: 0 },
    maxRxOctets: greatestDataLength.octets,
    maxRxTime: greatestDataLength.time,
    initialTxOctets: 27,
    initialTxTime: 328,
    txPhys: 1,
    rxPhys: 1,
    codedSymbols: 8,
  }),
  event: () => undefined,
  wants: () => false,
  takesData: () => false,
  data: () => undefined,
  completed: () => undefined,
  closed: () => undefined,
};

/** Makes the connection that a CONNECT_IND asks for. */
export function connect(options: ConnectOptions): Connected {
  const { air, random, data, created } = options;
  const end = (role: Role, { radio, host }: { radio: Radio; host: LinkHost | undefined }): LinkEnd => {
    const made = new LinkEnd(role, radio, host ?? nobody, created);
    made.open = host !== undefined;
    const { initialTxOctets, initialTxTime } = made.host.settings();
    made.maxTxOctets = initialTxOctets;
    made.maxTxTime = initialTxTime;
    return made;
  };
  const central = end('central', options.central);
  const peripheral = end('peripheral', options.peripheral);
  const link = new Link({
    air,
    random,
    central,
    peripheral,
    accessAddress: data.accessAddress,
    crcInit: data.crcInit,
    hop: options.channelSelection2 ? undefined : data.hopAndAccuracy & 0x1f,
    channels: channelSet(data.channelMap),
    interval: us(data.interval * 1250),
    latency: data.latency,
    timeout: us(data.timeout * 10_000),
    created,
    firstAnchor: us(created + windowDelay + offsetTime(data.windowOffset)),
    eventLength: options.eventLength,
  });
  const planes = { central: plane(link, central), peripheral: plane(link, peripheral) };
  if (!peripheral.open) return { link, central: planes.central, peripheral: undefined };
  planes.central.peer = planes.peripheral;
  planes.peripheral.peer = planes.central;
  return { link, ...planes };
}

function plane(link: Link, end: LinkEnd): ControlPlane {
  const made = new ControlPlane(link, end);
  end.onControl = (pdu) => {
    receiveControl(made, pdu);
  };
  return made;
}

/** What a controller does of its own accord on a new connection: it asks for longer packets if its host wants them. */
export function greet(made: ControlPlane): void {
  if (made.end.maxTxOctets > 27 || made.end.maxTxTime > 328) startLength(made);
}
