import type { Uuid } from '../../base/uuid.ts';
import { adoptedCharacteristic, type AdoptedService } from '../../numbers/adopted.ts';
import type { ServiceDraft } from '../entities/service.ts';
import type { UsedCharacteristic, UsedService } from '../entities/use.ts';
import type { Characteristic, Service, Where } from '../model.ts';
import { asStandard, resolveCharacteristic } from './characteristic.ts';
import type { Context } from './context.ts';
import { typeMissing } from './findings.ts';
import { idAsLabel } from './labels.ts';
import { checkPinned, UuidGiver } from './uuids.ts';

/** The services of `use:`, each with its own selection of characteristics or with the contract's. */
export function usedServices(used: readonly UsedService[], context: Context): readonly Service[] {
  return used.map(({ service, characteristics, at, nameAt }): Service => {
    const resolved =
      characteristics === undefined
        ? service.characteristics.map((entry) => asStandard(entry, nowhereElse(nameAt), context))
        : characteristics.map((entry) => usedCharacteristic(service, entry, context));
    return {
      id: service.name,
      label: service.label,
      uuid: service.uuid,
      secondary: false,
      includes: [],
      handles: { from: undefined, reserve: 0 },
      characteristics: resolved.filter((characteristic) => characteristic !== undefined),
      origin: 'use',
      waivers: [],
      where: nowhereElse(at),
    };
  });
}

function usedCharacteristic(
  service: AdoptedService,
  entry: UsedCharacteristic,
  context: Context,
): Characteristic | undefined {
  const name = entry.kind === 'name' ? entry.name.name : entry.draft.values.adopted?.name;
  const own = service.characteristics.find((candidate) => candidate.name === name);
  if (entry.kind === 'name') {
    const standard = own ?? adoptedCharacteristic(entry.name.name);
    if (standard !== undefined) return asStandard(standard, nowhereElse(entry.at), context);
    const called = `\`${entry.name.name}\``;
    const remedy = `write it as \`{ adopted: ${entry.name.name}, type: TYPE }\` with the type that the standard gives it`;
    context.report(typeMissing.at(entry.at, { called, adopted: entry.name.name, remedy }));
    return undefined;
  }
  const { draft } = entry;
  const { adopted, id } = draft.values;
  return resolveCharacteristic(draft, {
    uuid: adopted?.uuid,
    id: id ?? (draft.where.keys.has('id') ? undefined : adopted?.name),
    access: own?.access,
    minSpacing: own?.minSpacing,
    ...context,
  });
}

function nowhereElse(self: Where['self']): Where {
  return { self, keys: new Map() };
}

/** The services that the contract writes out. One that has no id or UUID is left out; what is in it is still checked. */
export function ownServices(
  drafts: readonly ServiceDraft[],
  base: { readonly uuid: Uuid | undefined; readonly given: boolean },
  context: Context,
): readonly Service[] {
  const pins = drafts.flatMap(({ values }) => [
    values.slot,
    ...(values.characteristics ?? []).map((draft) => draft.values.slot),
  ]);
  const giver = new UuidGiver(base.uuid, base.given, new Set(pins), context.report);
  checkPinned(drafts, context.report);
  return drafts.flatMap((draft) => ownService(draft, giver, context) ?? []);
}

function ownService(draft: ServiceDraft, giver: UuidGiver, context: Context): Service | undefined {
  const { values, where, whole } = draft;
  const { id } = values;
  const uuid = giver.give({
    called: id === undefined ? 'this service' : `service \`${id}\``,
    keys: { uuid: values.uuid, slot: values.slot, adopted: undefined },
    where,
  });
  const characteristics = (values.characteristics ?? []).flatMap((entry) => {
    const { id: own, uuid: given, slot, adopted } = entry.values;
    const found = giver.give({
      called: own === undefined ? 'this characteristic' : `\`${own}\``,
      keys: { uuid: given, slot, adopted: adopted?.uuid },
      where: entry.where,
    });
    const around = { uuid: found, id: own, access: undefined, minSpacing: undefined, ...context };
    return resolveCharacteristic(entry, around) ?? [];
  });
  if (id === undefined || uuid === undefined || whole === undefined) return undefined;
  return {
    id,
    label: values.label ?? idAsLabel(id),
    uuid,
    secondary: whole.secondary,
    includes: whole.includes,
    handles: whole.handles,
    characteristics,
    origin: 'own',
    waivers: whole.waive,
    where,
  };
}
