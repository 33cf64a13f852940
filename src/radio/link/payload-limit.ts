import type { Phy } from '../../contract/model.ts';
import { packetTime } from '../air-time.ts';

/** Octets that every data PDU may have, and the time for them on 1M. Core Vol 6 Part B 4.5.10. */
export const leastDataLength = { octets: 27, time: 328 } as const;
/** Octets that a data PDU may have at most, and the time for them at S = 8. */
export const greatestDataLength = { octets: 251, time: 17_040 } as const;
/** Whatever was agreed, on the coded PHY the time for 27 octets at S = 8 is allowed. Core Vol 6 Part B 4.5.10. */
const leastCodedTime = 2704;

/**
 * Largest payload that keeps to both limits, at least 27 octets. Times are reckoned with a MIC, encrypted or not, as the
 * standard's limits are.
 */
export function payloadLimit(phy: Phy, octets: number, time: number): number {
  const allowed = phy === '1M' || phy === '2M' ? time : Math.max(time, leastCodedTime);
  let limit = octets;
  while (limit > leastDataLength.octets && packetTime(phy, limit, true) > allowed) limit -= 1;
  return limit;
}
