import type { JSX } from 'preact';
import type { ExchangeLine } from '../../proof/report.ts';
import { count, timeWords } from '../../proof/words.ts';
import { Prose } from './prose.tsx';

/** Octets of one packet shown in a row. */
const mostOctets = 48;

/** What happened in a case, in order: packets with the mark of the air, the console with the mark of the board. */
export function ExchangeTable({ lines }: { readonly lines: readonly ExchangeLine[] }): JSX.Element {
  if (lines.length === 0) return <p class="proof-lead">Nothing crossed: the case was not run.</p>;
  const several = lines.some((line) => line.kind === 'pdu' && line.connection > 1);
  return (
    <div class="proof-exchange" tabIndex={0} role="region" aria-label="Exchange">
      <table>
        <thead>
          <tr>
            <th scope="col" class="proof-exchange-time">
              Time
            </th>
            <th scope="col">Where</th>
            <th scope="col">What it says</th>
            <th scope="col">Octets</th>
          </tr>
        </thead>
        <tbody>
          {lines.map((line, i) => (
            <Row key={i} line={line} several={several} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Row({ line, several }: { readonly line: ExchangeLine; readonly several: boolean }): JSX.Element {
  if (line.kind === 'left-out') {
    return (
      <tr>
        <td colSpan={4}>{count(line.count, 'crossing')} left out here</td>
      </tr>
    );
  }
  const time = <td class="proof-exchange-time">{timeWords(line.at)}</td>;
  if (line.kind === 'word') {
    return (
      <tr>
        {time}
        <td class={line.by === 'console' ? 'board-ink' : undefined}>{line.by === 'console' ? '■ console' : 'link'}</td>
        <td colSpan={2}>
          <Prose text={line.about} />
        </td>
      </tr>
    );
  }
  const which = several ? ` ${line.connection}` : '';
  return (
    <tr>
      {time}
      <td class="air-ink">{line.from === 'board' ? `● board to central${which}` : `● central${which} to board`}</td>
      <td>
        <Prose text={line.about} />
      </td>
      <td class="mono">{octets(line.hex)}</td>
    </tr>
  );
}

function octets(hex: string): string {
  const shown = hex.slice(0, 2 * mostOctets).replace(/(..)(?=.)/g, '$1 ');
  return hex.length > 2 * mostOctets ? `${shown} … ${hex.length / 2} octets` : shown;
}
