import { adType } from '../../numbers/ad-types.ts';
import { placeOf } from '../../contract/model.ts';
import { replaceValue } from '../../contract/rules/edits.ts';
import { radio } from '../../contract/rules/sample.ts';
import { tableRule } from './table-rule.ts';

const uuidTypes: ReadonlySet<number> = new Set([
  adType.incompleteUuids16,
  adType.completeUuids16,
  adType.incompleteUuids128,
  adType.completeUuids128,
]);

export const noServiceAdvertised = tableRule<{ name: string }>(
  {
    code: 'no-service-advertised',
    severity: 'note',
    title: 'No service UUID is advertised',
    why: 'Clients, and web pages above all, look for boards by a service; without one they must search by name or list everything in reach.',
    source: 'common practice',
    bad: radio('advertise: { services: [] }'),
    good: radio('advertise: { services: [bench] }'),
    message: () => 'neither advertising data nor scan response has the UUID of a service',
    hint: ({ name }) => `write \`advertise: { services: [${name}] }\``,
  },
  ({ contract, table }, report) => {
    const elements = [...table.advertising.elements, ...table.scanResponse.elements];
    const own = contract.services.find((service) => service.origin === 'own' && !service.secondary);
    if (own === undefined || elements.some(({ type }) => uuidTypes.has(type))) return;
    // A UUID that did not fit is `not-advertised`.
    if (contract.radio.advertise.services.length > 0) return;
    const { where } = contract.radio.advertise;
    const fixes = [replaceValue(where, 'services', `[${own.id}]`, `Advertise ${own.id}`)];
    report(placeOf(where, 'services'), { name: own.id }, { fixes });
  },
);
