import { uuidNamespaces, uuidV5 } from '../../base/uuid-v5.ts';
import type { Uuid } from '../../base/uuid.ts';
import { encodeUtf8 } from '../../values/utf8.ts';
import { byKey, looseList } from '../shapes/composite.ts';
import { uuidForm, versionNotKnown } from '../shapes/findings.ts';
import { byDefault, optional, record, required, whole, type Draft } from '../shapes/record.ts';
import { line, uuid, whole as wholeNumber } from '../shapes/scalars.ts';
import { either, map, type Shape } from '../shapes/shape.ts';
import { describe } from '../tree.ts';
import { boardRecord } from './board.ts';
import { refuseField } from './characteristic.ts';
import { radioRecord } from './radio.ts';
import { serviceRecord } from './service.ts';
import { use } from './use.ts';
import { waiveField } from './waiver.ts';

const dns = record(
  {
    id: 'dns-base',
    called: 'a base from a domain name',
    intro: 'The base is the version 5 UUID of a domain name (RFC 9562 section 5.5).',
  },
  { dns: required(line(253), 'A domain name that you hold.', 'tank.example.org') },
);

const url = record(
  {
    id: 'url-base',
    called: 'a base from an address',
    intro: 'The base is the version 5 UUID of a URL (RFC 9562 section 5.5).',
  },
  { url: required(line(500), 'An address that you hold.', 'https://example.org/tank') },
);

const uuidBase: Shape<Uuid> = either(
  {
    ...uuid,
    decode(node, spot) {
      // The Bluetooth Base UUID in its long form is a lint's business.
      if (node.kind !== 'scalar' || !/^(?:0x)?[0-9a-f]{1,8}$/i.test(node.text)) return uuid.decode(node, spot);
      const hint = 'choose a base of your own: any random UUID, or the version 5 UUID of a name with `{ dns: NAME }`';
      spot.report(uuidForm.at(node.at, { name: spot.name, found: describe(node), hint }));
      return undefined;
    },
  },
  byKey<Uuid>(
    {
      dns: map(whole(dns), (found) => uuidV5(uuidNamespaces.dns, encodeUtf8(found.dns))),
      url: map(whole(url), (found) => uuidV5(uuidNamespaces.url, encodeUtf8(found.url))),
    },
    'a mapping with `dns` or `url`',
  ),
);

const version: Shape<number> = {
  ...map(wholeNumber(0, 0xffff), (found, node, spot) => {
    if (found === 1) return found;
    spot.report(versionNotKnown.at(node.at, { found }));
    return undefined;
  }),
  wanted: '1',
  schema: () => ({ const: 1 }),
};

export const contractRecord = record(
  { id: 'contract', called: 'a contract', intro: 'What a board’s Bluetooth Low Energy interface is.' },
  {
    contract: required(version, 'Version of the contract language.', '1'),
    board: required(boardRecord, 'What the board calls itself.', '{ name: "Tank {unit}", unit: "01" }'),
    'uuid-base': optional(
      uuidBase,
      'none; then each service and characteristic needs a `uuid`',
      'A 128-bit UUID whose third and fourth octet are the slots, or `{ dns: NAME }` or `{ url: NAME }`, whose version 5 UUID it then is.',
      '6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0',
    ),
    radio: optional(radioRecord, 'all defaults', 'Advertising and connection.', '{ advertise: { interval: 100 ms } }'),
    services: byDefault(
      looseList(serviceRecord, 'a list of services'),
      [],
      '[]',
      'The services, in table order.',
      '[{ id: tank, characteristics: [] }]',
    ),
    use: byDefault(use, [], '[]', 'Adopted services, by assigned name.', '[battery]'),
    'refuse-with': refuseField,
    waive: waiveField,
  },
);

export type ContractDraft = Draft<typeof contractRecord.fields>;
