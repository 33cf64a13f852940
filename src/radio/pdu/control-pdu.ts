import { concat, type Bytes } from '../../base/bytes.ts';
import { decodeLayout, encodeLayout, octets, u16, u8, type Layout, type Values } from '../../hci/layout.ts';

type Declaration = { readonly opcode: number; readonly data: Layout };

/** Intervals in 1.25 ms, timeout in 10 ms; offsets in 1.25 ms, 0xFFFF = none. */
const connectionParameters = {
  intervalMin: u16,
  intervalMax: u16,
  latency: u16,
  timeout: u16,
  preferredPeriodicity: u8,
  referenceEvent: u16,
  offset0: u16,
  offset1: u16,
  offset2: u16,
  offset3: u16,
  offset4: u16,
  offset5: u16,
};

/** Octets in µs and octets, from the sender's point of view. */
const lengths = { maxRxOctets: u16, maxRxTime: u16, maxTxOctets: u16, maxTxTime: u16 };

/** Link layer control PDUs. Core Vol 6 Part B 2.4.2. */
const declarations = {
  'connection-update-ind': {
    opcode: 0x00,
    data: { windowSize: u8, windowOffset: u16, interval: u16, latency: u16, timeout: u16, instant: u16 },
  },
  'channel-map-ind': { opcode: 0x01, data: { channelMap: octets(5), instant: u16 } },
  'terminate-ind': { opcode: 0x02, data: { reason: u8 } },
  'enc-req': {
    opcode: 0x03,
    data: { random: octets(8), diversifier: u16, centralDiversifier: octets(8), centralVector: octets(4) },
  },
  'enc-rsp': { opcode: 0x04, data: { peripheralDiversifier: octets(8), peripheralVector: octets(4) } },
  'start-enc-req': { opcode: 0x05, data: {} },
  'start-enc-rsp': { opcode: 0x06, data: {} },
  'unknown-rsp': { opcode: 0x07, data: { unknownType: u8 } },
  'feature-req': { opcode: 0x08, data: { features: octets(8) } },
  'feature-rsp': { opcode: 0x09, data: { features: octets(8) } },
  'pause-enc-req': { opcode: 0x0a, data: {} },
  'pause-enc-rsp': { opcode: 0x0b, data: {} },
  'version-ind': { opcode: 0x0c, data: { version: u8, company: u16, subversion: u16 } },
  'reject-ind': { opcode: 0x0d, data: { error: u8 } },
  'peripheral-feature-req': { opcode: 0x0e, data: { features: octets(8) } },
  'connection-param-req': { opcode: 0x0f, data: connectionParameters },
  'connection-param-rsp': { opcode: 0x10, data: connectionParameters },
  'reject-ext-ind': { opcode: 0x11, data: { rejectOpcode: u8, error: u8 } },
  'ping-req': { opcode: 0x12, data: {} },
  'ping-rsp': { opcode: 0x13, data: {} },
  'length-req': { opcode: 0x14, data: lengths },
  'length-rsp': { opcode: 0x15, data: lengths },
  'phy-req': { opcode: 0x16, data: { txPhys: u8, rxPhys: u8 } },
  'phy-rsp': { opcode: 0x17, data: { txPhys: u8, rxPhys: u8 } },
  'phy-update-ind': { opcode: 0x18, data: { toPeripheral: u8, toCentral: u8, instant: u16 } },
} as const satisfies Readonly<Record<string, Declaration>>;

export type ControlName = keyof typeof declarations;

/** A control PDU with its data, discriminated by the name in `kind`. */
export type ControlPdu =
  | { [N in ControlName]: { readonly kind: N } & Values<(typeof declarations)[N]['data']> }[ControlName]
  /** Of an opcode that is unknown here, or of a wrong length. */
  | { readonly kind: 'unknown'; readonly opcode: number };

const names: ReadonlyMap<number, ControlName> = new Map(
  (Object.keys(declarations) as ControlName[]).map((name) => [declarations[name].opcode, name]),
);

export function controlOpcode(name: ControlName): number {
  return declarations[name].opcode;
}

/** Opcode and data: the payload of a data PDU with LLID 3. */
export function encodeControl(pdu: Exclude<ControlPdu, { kind: 'unknown' }>): Bytes {
  const { opcode, data } = declarations[pdu.kind];
  return concat([opcode], encodeLayout(data as Layout, pdu));
}

/** @param payload of a data PDU with LLID 3, decrypted */
export function decodeControl(payload: Bytes): ControlPdu {
  const opcode = payload[0] ?? 0xff;
  const name = names.get(opcode);
  const data = name === undefined ? undefined : decodeLayout(declarations[name].data as Layout, payload.subarray(1));
  if (name === undefined || data === undefined) return { kind: 'unknown', opcode };
  return { kind: name, ...data } as unknown as ControlPdu;
}
