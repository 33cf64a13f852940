import { adoptedCharacteristic, adoptedService } from '../../numbers/adopted.ts';
import { bug } from '../../base/bug.ts';
import type { TextType } from '../../values/type.ts';
import { encodeUtf8 } from '../../values/utf8.ts';
import type { Board, Characteristic, DeviceInformation, Service } from '../model.ts';
import { asStandard } from './characteristic.ts';
import type { Context } from './context.ts';

/** Key in `board`, and the characteristic that tells its text, in table order. Device Information Service 3. */
const texts: readonly (readonly [keyof DeviceInformation, string])[] = [
  ['maker', 'manufacturer-name-string'],
  ['model', 'model-number-string'],
  ['serial', 'serial-number-string'],
  ['hardware', 'hardware-revision-string'],
  ['firmware', 'firmware-revision-string'],
  ['software', 'software-revision-string'],
];

/** One characteristic for each text that the board gives: read only, as long as the text. */
export function informationCharacteristics(board: Board, context: Context): readonly Characteristic[] {
  return texts.flatMap(([key, name]): Characteristic[] => {
    const text = board.information[key];
    if (text === undefined) return [];
    const standard = adoptedCharacteristic(name);
    bug(standard !== undefined, `no adopted characteristic ${name}`);
    const start = encodeUtf8(text);
    const at = board.where.keys.get(key)?.value ?? board.where.self;
    const type: TextType = { kind: 'text', encoding: 'utf8', minLength: 0, maxLength: start.length };
    return [{ ...asStandard(standard, { self: at, keys: new Map() }, context), type, start }];
  });
}

/**
 * Adds the board's texts to the Device Information service of `use:`, or adds such a service behind the used ones when
 * any text is given.
 */
export function withInformation(used: readonly Service[], board: Board, context: Context): readonly Service[] {
  const own = informationCharacteristics(board, context);
  const standard = adoptedService('device-information');
  bug(standard !== undefined, 'no device information service');
  const listed = used.some(({ id }) => id === standard.name);
  if (listed) {
    return used.map((service) =>
      service.id === standard.name ? { ...service, characteristics: [...own, ...service.characteristics] } : service,
    );
  }
  if (own.length === 0) return used;
  return [
    ...used,
    {
      id: standard.name,
      label: standard.label,
      uuid: standard.uuid,
      secondary: false,
      includes: [],
      handles: { from: undefined, reserve: 0 },
      characteristics: own,
      origin: 'board-information',
      waivers: [],
      where: board.where,
    },
  ];
}
