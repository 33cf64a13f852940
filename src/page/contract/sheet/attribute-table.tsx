import type { JSX } from 'preact';
import type { Table } from '../../../table/model.ts';
import { attributeLines, type AttributeLine } from './attribute-rows.ts';

/** Every attribute of the table, by handle, as a client finds it after power-up. */
export function AttributeTable({ table }: { readonly table: Table }): JSX.Element {
  return (
    <table class="sheet-attributes">
      <thead>
        <tr>
          <th scope="col">Handle</th>
          <th scope="col">Type</th>
          <th scope="col">Permits</th>
          <th scope="col">Octets</th>
          <th scope="col">Meaning</th>
        </tr>
      </thead>
      <tbody>
        {attributeLines(table).map((line) => (
          <AttributeRow key={line.kind === 'gap' ? line.from : line.handle} line={line} />
        ))}
      </tbody>
    </table>
  );
}

function AttributeRow({ line }: { readonly line: AttributeLine }): JSX.Element {
  if (line.kind === 'gap') {
    const { from, to } = line;
    return (
      <tr class="sheet-gap">
        <td class="mono">{from}</td>
        <td colspan={4}>{from === to ? 'free' : `to ${to}, free`}</td>
      </tr>
    );
  }
  const { handle, type, uuid, permissions, octets, meaning, opens, declares } = line;
  return (
    <tr class={opens ? 'sheet-opens' : declares ? 'sheet-declares' : undefined}>
      <th scope="row" class="mono">
        {handle}
      </th>
      <td class="sheet-type">
        {type}
        {uuid === '' ? null : <span class="mono sheet-uuid"> {uuid}</span>}
      </td>
      <td class="sheet-permits">{permissions}</td>
      <td class="mono sheet-octets">{octets}</td>
      <td class="sheet-meaning">{meaning}</td>
    </tr>
  );
}
