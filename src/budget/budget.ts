import type { Table } from '../table/model.ts';
import { connectionOf } from './air/connection.ts';
import { packing, packingBasis, throughputBound } from './air/packing.ts';
import { delayBasis, transferDelay } from './delay/transfer.ts';
import { meanOf, quantile } from './delay/mixture.ts';
import { energy, energyBasis } from './energy/energy.ts';
import type { Supply } from './energy/supply.ts';
import { found, foundBasis } from './found/found.ts';
import { advertiserOf, scanPatterns } from './found/scan.ts';
import { linkUse, linkUseBasis } from './link/link-use.ts';
import { streamsOf } from './link/stream.ts';

/** What a contract costs, part by part; plain data. Times in µs, currents in µA. */
export function budgetOf(
  table: Table,
  options: { readonly supply: Supply; readonly packetErrorRate: number; readonly seed: number },
) {
  const connection = connectionOf(table.radio, { packetErrorRate: options.packetErrorRate });
  const streams = streamsOf(table, connection);
  const advertiser = advertiserOf(table);
  const use = linkUse(connection, streams);
  return {
    connection,
    throughput: { ...packing(connection), boundKbitPerSecond: throughputBound(connection), basis: packingBasis },
    link: { ...use, basis: linkUseBasis },
    delay: {
      values: streams.map(({ id, payloads }) => {
        const delay = transferDelay(connection, 'up', payloads);
        return delay.pieces.length === 0
          ? { id, fits: false as const }
          : { id, fits: true as const, mean: meanOf(delay), median: quantile(delay, 0.5), p95: quantile(delay, 0.95) };
      }),
      basis: delayBasis,
    },
    found: {
      patterns: scanPatterns.map((pattern) => found(advertiser, pattern, { trials: 500, seed: options.seed })),
      basis: foundBasis,
    },
    energy: {
      advertising: energy({ kind: 'advertising', advertiser }, options.supply),
      connected: energy({ kind: 'connected', connection, streams }, options.supply),
      basis: energyBasis,
    },
    memory: 'not known before firmware is measured',
  };
}
