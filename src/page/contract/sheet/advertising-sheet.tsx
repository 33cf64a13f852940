import type { JSX } from 'preact';
import { toHex } from '../../../base/bytes.ts';
import { blockSize } from '../../../table/advertising-block.ts';
import type { AdvertisingData, Table } from '../../../table/model.ts';
import { AdvertisingRuler } from '../../ruler/advertising-ruler.tsx';

/** What the board says of itself before anybody connects, and what of the wishes found no room. */
export function AdvertisingSheet({
  advertising,
  scanResponse,
}: Pick<Table, 'advertising' | 'scanResponse'>): JSX.Element {
  return (
    <>
      <Block title="Advertising data" data={advertising} />
      <Block title="Scan response data" data={scanResponse} />
    </>
  );
}

function Block({ title, data }: { readonly title: string; readonly data: AdvertisingData }): JSX.Element {
  const { bytes, cut } = data;
  return (
    <section class="sheet-advertising">
      <h4>
        {title} <span class="sheet-soft">{`${bytes.length} of ${blockSize} octets`}</span>
      </h4>
      {bytes.length === 0 ? (
        <p class="sheet-soft">Nothing is left to say here.</p>
      ) : (
        <AdvertisingRuler data={data} name={title} />
      )}
      {bytes.length === 0 ? null : <p class="mono sheet-octets sheet-soft">{toHex(bytes, ' ')}</p>}
      {cut.map(({ what, why }) => (
        <p key={what} class="sheet-cut">
          ▲ Not here: {what}; {why}
        </p>
      ))}
    </section>
  );
}
