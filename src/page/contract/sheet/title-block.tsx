import type { JSX } from 'preact';
import { showTime } from '../../../base/quantity.ts';
import type { TimeRange } from '../../../contract/model.ts';
import { everyCharacteristic } from '../../../contract/model.ts';
import { appearanceLabel } from '../../../numbers/appearances.ts';
import type { Compiled } from '../../../table/compiled.ts';

/** The head of the sheet: whose interface it is, and what holds for all of it. */
export function TitleBlock({ compiled }: { readonly compiled: Compiled }): JSX.Element {
  const { contract, table } = compiled;
  const { board, radio } = contract;
  const { information } = board;
  const { connection, advertise } = radio;
  const values = everyCharacteristic(contract).length;
  const cells: readonly (readonly [term: string, words: string | undefined])[] = [
    ['Kind', appearanceLabel(board.appearance)],
    ['Maker', information.maker],
    ['Model', information.model],
    ['Serial', information.serial],
    ['Hardware', information.hardware],
    ['Firmware', information.firmware],
    ['Software', information.software],
    ['Advertises every', intervalWords(advertise.interval)],
    ['Connection interval', intervalWords(connection.interval)],
    ['Latency', `${connection.latency} events`],
    ['Link lost after', showTime(connection.timeout)],
    ['MTU', `${connection.mtu} octets`],
    ['PHY', connection.phy],
    ['Holds', `${values} values in ${table.rows.length} attributes`],
  ];
  return (
    <header class="sheet-title">
      <p class="sheet-kicker">Interface sheet</p>
      <h2>{board.name}</h2>
      <dl class="sheet-block">
        {cells.map(([term, words]) =>
          words === undefined ? null : (
            <div key={term}>
              <dt>{term}</dt>
              <dd>{words}</dd>
            </div>
          ),
        )}
      </dl>
    </header>
  );
}

function intervalWords({ min, max }: TimeRange): string {
  return min === max ? showTime(min) : `${showTime(min)} to ${showTime(max)}`;
}
