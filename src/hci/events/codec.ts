import type { Bytes } from '../../base/bytes.ts';
import { concat } from '../../base/bytes.ts';
import { decodeLayout, encodeLayout, type Layout, type Values } from '../layout.ts';
import type { EventPacket } from '../packet.ts';
import { generalEvents, leMetaCode } from './general.ts';
import { leEvents } from './le.ts';

type General = typeof generalEvents;
type Le = typeof leEvents;

export type GeneralEventName = keyof General;
export type LeEventName = keyof Le;
export type EventName = GeneralEventName | LeEventName;

/** Every event with typed parameters, by name. */
export const events = { ...generalEvents, ...leEvents } as const;

export type EventParameters<N extends EventName> = Values<(General & Le)[N]['parameters']>;

/** An event with its parameters, discriminated by the name in `kind`. */
export type HciEvent =
  | { [N in EventName]: { readonly kind: N } & EventParameters<N> }[EventName]
  /** Without declaration here, or cut: as it came. `subevent` only for LE meta events. */
  | { readonly kind: 'raw'; readonly code: number; readonly subevent: number | undefined; readonly octets: Bytes };

const byCode = new Map<number, GeneralEventName>(
  (Object.keys(generalEvents) as GeneralEventName[]).map((name) => [generalEvents[name].code, name]),
);
const bySubevent = new Map<number, LeEventName>(
  (Object.keys(leEvents) as LeEventName[]).map((name) => [leEvents[name].code, name]),
);

function isLe(name: EventName): name is LeEventName {
  return name in leEvents;
}

export function encodeEvent<N extends EventName>(name: N, parameters: EventParameters<N>): EventPacket {
  const octets = encodeLayout(events[name].parameters as Layout, parameters);
  const { code } = events[name];
  return isLe(name)
    ? { kind: 'event', code: leMetaCode, parameters: concat([code], octets) }
    : { kind: 'event', code, parameters: octets };
}

export function decodeEvent(packet: EventPacket): HciEvent {
  const { code, parameters } = packet;
  const meta = code === leMetaCode;
  const subevent = meta ? parameters[0] : undefined;
  const name = meta ? bySubevent.get(subevent ?? 0) : byCode.get(code);
  const octets = meta ? parameters.subarray(1) : parameters;
  const values = name === undefined ? undefined : decodeLayout(events[name].parameters as Layout, octets);
  if (name === undefined || values === undefined) return { kind: 'raw', code, subevent, octets };
  return { kind: name, ...values } as unknown as HciEvent;
}
