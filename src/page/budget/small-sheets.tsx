import { computed } from '@preact/signals';
import type { JSX } from 'preact';
import { toDouble } from '../../base/rational.ts';
import { comparedText, countText, percentText, three, timeText } from '../../budget/budget-text.ts';
import type { NumberReport } from '../../budget/numbers/numbers.ts';
import { showQuantity, withUnit } from '../../values/show-number.ts';
import { BasisWords } from './plot.tsx';
import { parts } from './reckoned.ts';

const air = computed(() => parts.value.air);
const throughput = computed(() => parts.value.throughput);
const numbers = computed(() => parts.value.numbers);
const memory = computed(() => parts.value.memory);
const kbit = (value: number): string => `${three(value)} kbit/s`;

/** What one act costs, and the most that the link carries. */
export function AirSheet(): JSX.Element | null {
  const costs = air.value;
  const carried = throughput.value;
  if (costs === undefined) return null;
  return (
    <section class="budget-sheet" aria-labelledby="budget-air-title">
      <h2 id="budget-air-title">Air time: what one read, write or notification costs</h2>
      <p class="budget-lead">
        {carried === undefined
          ? 'Being reckoned.'
          : `Notifications without pause carry ${kbit(carried.up.closed)} of values, write commands ${kbit(carried.down.closed)}.`}
      </p>
      <details class="budget-more">
        <summary>Table of procedures</summary>
        <div class="budget-table" tabIndex={0} role="group" aria-label="Table of procedures">
          <table>
            <thead>
              <tr>
                <th scope="col">Value</th>
                <th scope="col">Procedure</th>
                <th scope="col">Octets</th>
                <th scope="col">Packets</th>
                <th scope="col">On the air</th>
                <th scope="col">Events at least</th>
                <th scope="col">Octets that are value</th>
              </tr>
            </thead>
            <tbody>
              {costs.procedures.map(({ id, procedure, octets, packets, airTime, events, efficiency }) => (
                <tr key={`${id} ${procedure}`}>
                  <th scope="row">{id}</th>
                  <td>{procedure}</td>
                  <td>{octets}</td>
                  <td>{packets}</td>
                  <td>{timeText(airTime)}</td>
                  <td>{events}</td>
                  <td>{percentText(efficiency)}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </div>
      </details>
      <details class="budget-more">
        <summary>Packets by PHY, and throughput with other parameters</summary>
        <div class="budget-table" tabIndex={0} role="group" aria-label="Tables of packets and throughput">
          <table>
            <thead>
              <tr>
                <th scope="col">Payload, octets</th>
                {costs.times.map(({ phy }) => (
                  <th key={phy} scope="col">
                    {phy}, µs (with MIC)
                  </th>
                ))}
              </tr>
            </thead>
            <tbody>
              {costs.times[0]?.rows.map(({ payload }, i) => (
                <tr key={payload}>
                  <th scope="row">{payload}</th>
                  {costs.times.map(({ phy, rows }) => (
                    <td key={phy}>
                      {rows[i]?.plain} ({rows[i]?.mic})
                    </td>
                  ))}
                </tr>
              ))}
            </tbody>
          </table>
          {carried !== undefined && (
            <>
              <p>
                Up: {comparedText(carried.up, kbit)}. Down: {comparedText(carried.down, kbit)}. No interval goes beyond{' '}
                {kbit(carried.boundKbitPerSecond)}.
              </p>
              <table>
                <thead>
                  <tr>
                    <th scope="col">PHY</th>
                    <th scope="col">MTU</th>
                    <th scope="col">Data length</th>
                    <th scope="col">Values a second</th>
                  </tr>
                </thead>
                <tbody>
                  {carried.other.map(({ phy, mtu, dataLength, kbitPerSecond }) => (
                    <tr key={`${phy} ${mtu} ${dataLength}`}>
                      <th scope="row">{phy}</th>
                      <td>{mtu}</td>
                      <td>{dataLength}</td>
                      <td>{kbit(kbitPerSecond)}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </>
          )}
        </div>
      </details>
      <BasisWords basis={costs.basis} />
    </section>
  );
}

/** What coding does to values. */
export function NumbersSheet(): JSX.Element | null {
  const part = numbers.value;
  if (part === undefined) return null;
  const unnoticed = part.numbers.filter(({ misreading }) => (misreading?.unnoticed.length ?? 0) > 0);
  return (
    <section class="budget-sheet" aria-labelledby="budget-numbers-title">
      <h2 id="budget-numbers-title">Numbers: what coding does to values</h2>
      <p class="budget-lead">
        {unnoticed.length === 0
          ? 'Every mistake in reading these numbers shows sooner or later.'
          : `▲ ${countText(unnoticed.length, 'number')} could be read wrongly without anybody noticing.`}{' '}
        {part.cuts.length > 0 && `${countText(part.cuts.length, 'value')} longer than the default MTU takes at once.`}
      </p>
      <details class="budget-more">
        <summary>Table of numbers</summary>
        <div class="budget-table" tabIndex={0} role="group" aria-label="Table of numbers">
          <table>
            <thead>
              <tr>
                <th scope="col">Value</th>
                <th scope="col">Type</th>
                <th scope="col">Step</th>
                <th scope="col">Coded at most off by</th>
                <th scope="col">Drive: step; at most off by</th>
                <th scope="col">Unnoticed when read with</th>
                <th scope="col">A first test</th>
              </tr>
            </thead>
            <tbody>
              {part.numbers.map((number) => (
                <NumberRow key={number.id} number={number} />
              ))}
            </tbody>
          </table>
        </div>
      </details>
      {part.cuts.length > 0 && (
        <details class="budget-more">
          <summary>Values that the default MTU cuts</summary>
          <div class="budget-table" tabIndex={0} role="group" aria-label="Values that the default MTU cuts">
            <table>
              <thead>
                <tr>
                  <th scope="col">Value</th>
                  <th scope="col">Octets</th>
                  <th scope="col">At MTU 23</th>
                  <th scope="col">Whole from MTU</th>
                  <th scope="col">What happens</th>
                </tr>
              </thead>
              <tbody>
                {part.cuts.map(({ id, octets, keptAtDefault, characters, neededMtu, told, by }) => (
                  <tr key={id}>
                    <th scope="row">{id}</th>
                    <td>{octets}</td>
                    <td>
                      {keptAtDefault}
                      {characters !== undefined && `, ${characters.least} to ${characters.most} characters`}
                    </td>
                    <td>{neededMtu}</td>
                    <td>
                      {by}: {told}
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
          </div>
        </details>
      )}
      <BasisWords basis={part.basis} />
    </section>
  );
}

function NumberRow({ number }: { readonly number: NumberReport }): JSX.Element {
  const { id, type, coding, drive, misreading } = number;
  const { unit } = coding;
  return (
    <tr>
      <th scope="row">{id}</th>
      <td>{type}</td>
      <td>{coding.resolution === undefined ? 'grows with the number' : showQuantity(coding.resolution, unit)}</td>
      <td>
        {coding.worst !== undefined
          ? showQuantity(coding.worst, unit)
          : coding.relative === undefined
            ? ''
            : `${three(toDouble(coding.relative) * 1e6)} millionths`}
      </td>
      <td>
        {drive === undefined
          ? ''
          : `${withUnit(three(toDouble(drive.resolution)), unit)}; ${withUnit(three(toDouble(drive.worst)), unit)}`}
      </td>
      <td>
        {misreading === undefined || misreading.unnoticed.length === 0
          ? 'none'
          : `▲ ${misreading.unnoticed.join(', ')}`}
      </td>
      <td>
        {misreading?.telling === undefined
          ? ''
          : `${showQuantity(misreading.telling.value, unit)}: ${misreading.telling.shows.join(', ')}`}
      </td>
    </tr>
  );
}

/** Flash and RAM, as far as they have been measured. */
export function MemorySheet(): JSX.Element | null {
  const part = memory.value;
  if (part === undefined) return null;
  const { content, targets, unknown } = part;
  return (
    <section class="budget-sheet" aria-labelledby="budget-memory-title">
      <h2 id="budget-memory-title">Memory: flash and RAM</h2>
      <p class="budget-lead">
        The table has {countText(content.rows, 'row')}, {countText(content.values, 'value')} of {content.valueOctets}{' '}
        octets at their longest, and {content.constantOctets} octets that never change.
        {unknown !== undefined && ` ▲ Flash and RAM are not known: ${unknown}.`}
        {targets.length > 0 && ' The firmware as it is generated, without your own program, takes:'}
      </p>
      {targets.map((target) => (
        <details key={target.name} class="budget-more">
          <summary>
            {target.name}: flash {target.flash.likely}, RAM {target.ram.likely} octets
          </summary>
          <div class="budget-table" tabIndex={0} role="group" aria-label={`Memory on ${target.name}`}>
            <table>
              <thead>
                <tr>
                  <th scope="col">Part</th>
                  <th scope="col">Flash, octets</th>
                  <th scope="col">RAM, octets</th>
                </tr>
              </thead>
              <tbody>
                {target.parts.map(({ part: name, flash, ram }) => (
                  <tr key={name}>
                    <th scope="row">{name}</th>
                    <td>{Math.round(flash)}</td>
                    <td>{Math.round(ram)}</td>
                  </tr>
                ))}
                <tr>
                  <th scope="row">all</th>
                  <td>
                    {target.flash.low} to {target.flash.high}
                  </td>
                  <td>
                    {target.ram.low} to {target.ram.high}
                  </td>
                </tr>
              </tbody>
            </table>
            <p>
              Model of {target.date}, {target.toolchain}, from {target.images} images; an image left out was missed by
              at most {percentText(target.error.flash)} of flash and {percentText(target.error.ram)} of RAM.
            </p>
          </div>
        </details>
      ))}
      <BasisWords basis={part.basis} />
    </section>
  );
}
