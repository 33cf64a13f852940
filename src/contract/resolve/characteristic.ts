import { us, type Microseconds } from '../../base/quantity.ts';
import type { SourceRange } from '../../base/text-range.ts';
import type { Uuid } from '../../base/uuid.ts';
import { adoptedCharacteristic, type AdoptedCharacteristic } from '../../numbers/adopted.ts';
import { actsOnWorld } from '../../values/drives/model.ts';
import { defaultBytes } from '../../values/start.ts';
import type { CharacteristicDraft, UsedDraft } from '../entities/characteristic.ts';
import type { AccessWord, Characteristic, NotifyPolicy, OnLinkLoss, Where } from '../model.ts';
import type { Spot } from '../shapes/shape.ts';
import { checkAdopted } from './adopted.ts';
import type { Context } from './context.ts';
import { resolveDrive } from './drive.ts';
import { accessMissing, notifyWithoutAccess, typeMissing } from './findings.ts';
import { idAsLabel } from './labels.ts';
import { encodeNode } from './physical.ts';
import { resolveType } from './value-type.ts';

/** What holds for a characteristic that does not say it: from an adopted service, and from the contract. */
export type Surroundings = Context & {
  readonly uuid: Uuid | undefined;
  readonly id: string | undefined;
  readonly access: readonly AccessWord[] | undefined;
  readonly minSpacing: Microseconds | undefined;
};

/** Checks a characteristic and fills its defaults; `undefined` when anything in it is wrong (all of it is reported). */
export function resolveCharacteristic(
  draft: CharacteristicDraft | UsedDraft,
  around: Surroundings,
): Characteristic | undefined {
  const { values, where } = draft;
  const { report, suggest } = around;
  const called = around.id === undefined ? 'this characteristic' : `\`${around.id}\``;
  const adopted = values.adopted;
  const standard = adopted === undefined ? undefined : adoptedCharacteristic(adopted.name);
  const resolved = resolveType({ values, where }, standard?.type, report);
  if (resolved === undefined && standard === undefined && !where.keys.has('type') && adoptedIsSound(draft)) {
    const at = where.keys.get('adopted')?.value ?? placeOfEntity(draft);
    const remedy =
      adopted === undefined
        ? 'add `type`, for example `type: uint16`, or `adopted` with an assigned name'
        : 'add the `type` that the standard gives it';
    report(typeMissing.at(at, { called, adopted: adopted?.name, remedy }));
  }
  if (resolved !== undefined && standard !== undefined) {
    checkAdopted(resolved.type, standard.type, standard.name, where, report);
  }
  const access = values.access ?? (where.keys.has('access') ? undefined : (around.access ?? standard?.access));
  if (access === undefined && !where.keys.has('access') && adoptedIsSound(draft)) {
    report(accessMissing.at(placeOfEntity(draft), { called }));
  }
  const notify = access === undefined ? undefined : notifyPolicy(draft, access, around);
  if (resolved === undefined) return undefined;

  const { type, places } = resolved;
  const spot = (key: string): Spot => ({ name: `\`${key}\``, report, suggest });
  const start = values.start === undefined ? defaultBytes(type) : encodeNode(type, values.start, spot('start'));
  const onLinkLoss = lossOf(draft, (node) => encodeNode(type, node, spot('value')));
  const drive = values.drive === undefined ? undefined : resolveDrive(values.drive, type, report);
  const writable = access?.some((word) => word === 'write' || word === 'write-without-response') ?? false;
  const { id, uuid } = around;
  if (draft.whole === undefined || id === undefined || uuid === undefined) return undefined;
  if (access === undefined || start === undefined || onLinkLoss === undefined) return undefined;
  if (values.drive !== undefined && drive === undefined) return undefined;
  return {
    id,
    label: values.label ?? (adopted === undefined ? idAsLabel(id) : adopted.label),
    uuid,
    adopted: adopted?.name,
    type,
    access: [...new Set(access)],
    needs: draft.whole.needs,
    notify,
    start,
    onLinkLoss,
    drive,
    actuator: values.actuator ?? (writable && drive !== undefined && actsOnWorld(drive)),
    refuseWith: values['refuse-with'] ?? around.refuseWith,
    reliableWrite: draft.whole.extended.includes('reliable-write'),
    writableLabel: draft.whole.extended.includes('writable-description'),
    waivers: draft.whole.waive,
    where,
    ...(places.size > 0 ? { fieldPlaces: places } : {}),
  };
}

/** An adopted characteristic of which the contract says nothing but its name. */
export function asStandard(standard: AdoptedCharacteristic, where: Where, context: Context): Characteristic {
  const { name, label, uuid, type, access, minSpacing } = standard;
  return {
    id: name,
    label,
    uuid,
    adopted: name,
    type,
    access,
    needs: { read: 'open', write: 'open', subscribe: 'open' },
    notify: publishes(access) ? { on: { kind: 'change' }, minSpacing } : undefined,
    start: defaultBytes(type),
    onLinkLoss: { kind: 'unsaid' },
    drive: undefined,
    actuator: false,
    refuseWith: context.refuseWith,
    reliableWrite: false,
    writableLabel: false,
    waivers: [],
    where,
  };
}

/** A short place for what concerns the whole: its id, or its first key. */
function placeOfEntity({ where, node }: CharacteristicDraft | UsedDraft): SourceRange {
  return where.keys.get('id')?.value ?? node.entries[0]?.key.at ?? where.self;
}

/** False when an adopted name was given and refused, so that nothing that follows from it can be said. */
function adoptedIsSound(draft: CharacteristicDraft | UsedDraft): boolean {
  return draft.values.adopted !== undefined || !draft.where.keys.has('adopted');
}

function publishes(access: readonly AccessWord[]): boolean {
  return access.includes('notify') || access.includes('indicate');
}

function notifyPolicy(
  draft: CharacteristicDraft | UsedDraft,
  access: readonly AccessWord[],
  around: Surroundings,
): NotifyPolicy | undefined {
  const given = draft.values.notify;
  if (publishes(access)) {
    return given === undefined
      ? { on: { kind: 'change' }, minSpacing: around.minSpacing }
      : { on: given.on, minSpacing: given['at-most'] };
  }
  const place = draft.where.keys.get('notify');
  if (place !== undefined) around.report(notifyWithoutAccess.at(place.key, {}));
  return undefined;
}

function lossOf(
  draft: CharacteristicDraft | UsedDraft,
  encode: (node: NonNullable<typeof draft.values.start>) => Uint8Array | undefined,
): OnLinkLoss | undefined {
  const loss = draft.values['on-link-loss'];
  if (loss === undefined) return draft.where.keys.has('on-link-loss') ? undefined : { kind: 'unsaid' };
  if (loss.kind === 'keep') return loss;
  const raw = encode(loss.value);
  return raw === undefined ? undefined : { kind: 'set', raw, within: us(loss.within) };
}
