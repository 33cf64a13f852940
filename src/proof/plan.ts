import { us, type Microseconds } from '../base/quantity.ts';
import type { Table } from '../table/model.ts';
import type { Case } from './case.ts';
import { advertisingCases } from './cases/advertising.ts';
import { cachingCases } from './cases/caching.ts';
import { indicationCases } from './cases/indications.ts';
import { linkCases } from './cases/link.ts';
import { linkLossCases } from './cases/link-loss.ts';
import { longValueCases } from './cases/long-values.ts';
import { malformedCases } from './cases/malformed.ts';
import { mtuCases } from './cases/mtu.ts';
import { notificationCases } from './cases/notifications.ts';
import { readCases } from './cases/reads.ts';
import { refusalCases } from './cases/refusals.ts';
import { securityCases } from './cases/security.ts';
import { soakCases } from './cases/soak.ts';
import { startCases } from './cases/start.ts';
import { structureCases } from './cases/structure.ts';
import { timingCases } from './cases/timing.ts';
import { writeCases } from './cases/writes.ts';
import type { Family } from './verdict.ts';

export type PlanOptions = {
  /** Families, or ids with `*` for any characters: `writes/paddle/*`. Empty or left out: every case. */
  readonly only?: readonly string[];
  /** How long the soak lasts on the link's clock; default one minute. */
  readonly soak?: Microseconds;
  /** Random packets of the fuzz case; default 200. */
  readonly packets?: number;
  /** Also what lies below ATT, for links that reach `hci`; default false. */
  readonly below?: boolean;
};

/** A soak that finds what goes wrong at once; a long one is asked for. */
const shortSoak = us(60_000_000);
/** The soak of `long`: a working day. */
export const longSoak = us(8 * 3600 * 1_000_000);

/**
 * The cases that a table asks for, in the order they run. The same table and options give the same cases with the same
 * ids.
 */
export function planProof(table: Table, options: PlanOptions = {}): readonly Case[] {
  const { only = [], soak = shortSoak, packets, below = false } = options;
  const cases = [
    ...startCases(table),
    ...advertisingCases(table),
    ...structureCases(table),
    ...readCases(table),
    ...writeCases(table),
    ...refusalCases(table),
    ...notificationCases(table),
    ...indicationCases(table),
    ...longValueCases(table),
    ...mtuCases(table),
    ...securityCases(table),
    ...linkLossCases(table),
    ...cachingCases(table),
    ...malformedCases(table, packets),
    ...(below ? linkCases(table) : []),
    ...timingCases(table),
    ...soakCases(table, soak),
  ];
  if (only.length === 0) return cases;
  const patterns = only.map(pattern);
  return cases.filter(({ id, family }) => patterns.some((matches) => matches(id, family)));
}

/** A family's name, or a pattern over ids. Linear in the id's length times the pattern's parts. */
function pattern(text: string): (id: string, family: Family) => boolean {
  const parts = text.split('*');
  const [head = '', ...rest] = parts;
  const tail = rest.pop();
  return (id, family) => {
    if (text === family) return true;
    if (tail === undefined) return id === text;
    if (!id.startsWith(head) || !id.endsWith(tail) || id.length < head.length + tail.length) return false;
    let from = head.length;
    for (const part of rest) {
      const at = id.indexOf(part, from);
      if (at < 0 || at + part.length > id.length - tail.length) return false;
      from = at + part.length;
    }
    return true;
  };
}
