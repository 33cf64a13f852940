/**
 * What the octets of a captured packet are. Numbers of the public registry of link-layer header types
 * (draft-ietf-opsawg-pcaplinktype).
 */
export const linkType = {
  /** H4 packets behind a direction of 4 octets: see h4-recorder.ts. */
  hciH4WithDirection: 201,
  /** Access address, PDU and CRC as on the air, dewhitened, behind a header of 10 octets: see air-recorder.ts. */
  leLinkLayerWithHeader: 256,
} as const;

export type LinkType = (typeof linkType)[keyof typeof linkType];
