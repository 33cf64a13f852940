import type { JSX } from 'preact';
import type { Service } from '../../../contract/model.ts';
import type { Compiled } from '../../../table/compiled.ts';
import { showHandle } from '../../../table/findings.ts';
import type { ServiceEntry, Table } from '../../../table/model.ts';
import { AdvertisingSheet } from './advertising-sheet.tsx';
import { AttributeTable } from './attribute-table.tsx';
import { CharacteristicEntry } from './characteristic-entry.tsx';
import { keptDrawing } from './kept-drawing.ts';
import { HashLines } from './hash-lines.tsx';
import { TitleBlock } from './title-block.tsx';

export type InterfaceSheetProps = {
  readonly compiled: Compiled;
  /** Id of the characteristic that the editor's cursor stands in. */
  readonly current: string | undefined;
};

/** The interface as a printed sheet: values by service, the attribute table with its hash, what is advertised. */
export function InterfaceSheet({ compiled, current }: InterfaceSheetProps): JSX.Element {
  const { contract, table } = compiled;
  const advertised = { advertising: table.advertising, scanResponse: table.scanResponse };
  return (
    <>
      <TitleBlock compiled={compiled} />
      {contract.services.length === 0 ? (
        <p class="sheet-soft">
          Here the values of the board will stand. Give the contract a service with a characteristic.
        </p>
      ) : (
        <p class="sheet-key">
          <span class="board-ink">■ what the board holds</span> <span class="air-ink">● what crosses the air</span>{' '}
          <span class="sheet-soft">Octets cross from left to right; bit 0 is the least significant.</span>
        </p>
      )}
      {contract.services.map((service, i) => (
        <ServiceSection key={service.id} service={service} number={i + 1} table={table} current={current} />
      ))}
      <section class="sheet-section sheet-attributes-section">
        <h3>Attribute table</h3>
        {keptDrawing('attributes', table, (all) => (
          <AttributeTable table={all} />
        ))}
        <h4>Database hash</h4>
        <HashLines hash={table.databaseHash} />
      </section>
      <section class="sheet-section">
        <h3>Before a connection</h3>
        {keptDrawing('advertising', advertised, (all) => (
          <AdvertisingSheet {...all} />
        ))}
      </section>
    </>
  );
}

function ServiceSection(props: {
  readonly service: Service;
  readonly number: number;
  readonly table: Table;
  readonly current: string | undefined;
}): JSX.Element {
  const { service, number, table, current } = props;
  const entry = table.services.find(({ id, uuid }) => id === service.id && uuid === service.uuid);
  return (
    <section class="sheet-section">
      <header class="sheet-service">
        <span class="sheet-number">{number}</span>
        <h3>{service.label}</h3>
        <span class="mono sheet-soft">{service.uuid}</span>
        {entry === undefined ? null : <span class="mono sheet-handle">{handlesOf(entry)}</span>}
      </header>
      {service.secondary ? <p class="sheet-soft">Secondary: found only through the services that include it.</p> : null}
      {service.includes.length === 0 ? null : <p class="sheet-soft">Includes {service.includes.join(', ')}.</p>}
      {entry?.characteristics.map(({ index }, i) => {
        const value = index === undefined ? undefined : table.values[index];
        if (value === undefined) return null;
        const props = { number: `${number}.${i + 1}`, value, current: value.id === current };
        return keptDrawing(`value ${value.id}`, props, (all) => <CharacteristicEntry key={value.id} {...all} />);
      })}
    </section>
  );
}

function handlesOf({ start, end }: ServiceEntry): string {
  return `${showHandle(start)} to ${showHandle(end)}`;
}
