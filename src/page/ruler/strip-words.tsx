import type { JSX } from 'preact';
import type { Span, Strip } from './strip.ts';

/** What a strip says, in a sentence or two, for who does not see it. */
export function stripWords({ cells, spans }: Strip, name: string): string {
  const octets = cells.filter(({ kind }) => kind === 'octet').length;
  const more = cells.some(({ kind }) => kind === 'break') ? 'Some are left out.' : '';
  const lead = `${octets} ${octets === 1 ? 'octet' : 'octets'} drawn.`;
  return [name === '' ? '' : `${name}:`, lead, more, ...spans.slice(0, 12).map(spanWords)]
    .filter((part) => part !== '')
    .join(' ');
}

function spanWords({ words: { name, place, coding, value } }: Span): string {
  const what = [name, coding].filter((word) => word !== '').join(', ');
  return `${place}: ${what}${value === '' ? '' : `, now ${value}`}.`;
}

/** The same as a table, unseen, to be read cell by cell. */
export function StripTable({ strip, caption }: { readonly strip: Strip; readonly caption: string }): JSX.Element {
  return (
    <div class="unseen">
      <table>
        <caption>{caption}</caption>
        <thead>
          <tr>
            <th scope="col">Place</th>
            <th scope="col">Field</th>
            <th scope="col">Coding</th>
            <th scope="col">Value</th>
          </tr>
        </thead>
        <tbody>
          {strip.spans.map(({ words }, i) => (
            <tr key={i}>
              <td>{words.place}</td>
              <td>{words.name}</td>
              <td>{words.coding}</td>
              <td>{words.value}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
