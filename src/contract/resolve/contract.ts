import type { SourceRange } from '../../base/text-range.ts';
import { encodeUtf8 } from '../../values/utf8.ts';
import { longestName, type BoardDraft } from '../entities/board.ts';
import type { ContractDraft } from '../entities/contract.ts';
import { advertiseRecord, connectionRecord, radioRecord, type RadioDraft } from '../entities/radio.ts';
import { textLength } from '../shapes/findings.ts';
import { filled } from '../shapes/record.ts';
import type { Board, Contract, Radio, Service } from '../model.ts';
import { withInformation } from './device-information.ts';
import { checkIds, checkReferences } from './references.ts';
import type { Report, Spot } from '../shapes/shape.ts';
import type { Context } from './context.ts';
import { ownServices, usedServices } from './services.ts';

/**
 * Gives the drafts their meaning: defaults, types, UUIDs, adopted formats. Services and characteristics with an error are
 * left out; the rest is made, so that lints can be told beside errors.
 */
export function resolveContract(draft: ContractDraft, { report, suggest }: Spot): Contract | undefined {
  const { values, where } = draft;
  const context: Context = { refuseWith: values['refuse-with'] ?? 0xff, report, suggest };
  const board = values.board === undefined ? undefined : resolveBoard(values.board, report);
  const used = usedServices(values.use ?? [], context);
  const standard = board === undefined ? used : withInformation(used, board, context);
  const base = { uuid: values['uuid-base'], given: where.keys.has('uuid-base') };
  const own = ownServices(values.services ?? [], base, context);
  const ids = checkIds(draft, standard, report);
  checkReferences(draft, ids, context);
  if (board === undefined) return undefined;
  const services = withoutTwins([...standard, ...own]);
  const present = new Set(services.map(({ id }) => id));
  return {
    version: 1,
    board,
    uuidBase: values['uuid-base'],
    radio: resolveRadio(values.radio, where.self, present, own[0] ?? standard[0]),
    services: services.map((service) => ({ ...service, includes: service.includes.filter((id) => present.has(id)) })),
    waivers: values.waive ?? [],
    where,
  };
}

function resolveBoard(draft: BoardDraft, report: Report): Board | undefined {
  const { values, where } = draft;
  const { name, unit = '', appearance = 0 } = values;
  if (name === undefined) return undefined;
  const filled = name.replaceAll('{unit}', unit);
  const octets = encodeUtf8(filled).length;
  if (octets < 1 || octets > longestName) {
    const at = where.keys.get('name')?.value ?? where.self;
    report(textLength.at(at, { name: '`name` with its unit', octets, min: 1, max: longestName }));
  }
  const { maker, model, serial, hardware, firmware, software } = values;
  return {
    name: filled,
    nameTemplate: name,
    unit,
    appearance,
    information: { maker, model, serial, hardware, firmware, software },
    where,
  };
}

/** @param first the service that is advertised when the contract does not say */
function resolveRadio(
  draft: RadioDraft | undefined,
  contract: SourceRange,
  present: ReadonlySet<string>,
  first: Service | undefined,
): Radio {
  const radio = filled(radioRecord, draft, contract);
  const advertise = filled(advertiseRecord, radio.advertise, radio.where.self);
  const connection = filled(connectionRecord, radio.connection, radio.where.self);
  const services = advertise.services ?? (first === undefined ? [] : [first.id]);
  return {
    advertise: {
      interval: advertise.interval,
      name: advertise.name,
      services: services.filter((id) => present.has(id)),
      txPower: advertise['tx-power'],
      manufacturerData: advertise['manufacturer-data'],
      where: advertise.where,
    },
    connection: {
      interval: connection.interval,
      latency: connection.latency,
      timeout: connection.timeout,
      mtu: connection.mtu,
      phy: connection.phy,
      dataLength: connection['data-length'],
      where: connection.where,
    },
    waivers: radio.waive,
    where: radio.where,
  };
}

/** The first of each id, services and characteristics. */
function withoutTwins(services: readonly Service[]): readonly Service[] {
  const ids = new Set<string>();
  const characteristics = new Set<string>();
  return services
    .filter(({ id }) => !ids.has(id) && ids.add(id))
    .map((service) => ({
      ...service,
      characteristics: service.characteristics.filter(({ id }) => !characteristics.has(id) && characteristics.add(id)),
    }));
}
