import { adoptedCharacteristics, adoptedService, adoptedServices, type AdoptedService } from '../../numbers/adopted.ts';
import { appearanceByName, appearances } from '../../numbers/appearances.ts';
import type { Assigned } from '../../numbers/assigned.ts';
import { characteristics } from '../../numbers/characteristics.ts';
import { unitByCode, unitByName, units, unitsBySymbol, unitsMeasuredIn } from '../../numbers/units.ts';
import type { UnitCode } from '../../values/type.ts';
import { shortText } from '../tree.ts';
import { listed, unknownName } from './findings.ts';
import { writeInstead } from './fixes.ts';
import { isText, isWord, whole } from './scalars.ts';
import { either, map, shape, type Shape, type Suggest } from './shape.ts';

/** Assigned names: of units, appearances, adopted services and characteristics. */

/**
 * A text that a table knows.
 *
 * @param what the kind of thing: `unit`
 * @param guess a name that may be meant, or several in words
 */
function assignedName<T>(
  what: string,
  find: (text: string) => T | undefined,
  names: readonly string[],
  guess: (text: string, suggest: Suggest) => { readonly name: string } | { readonly words: string } | undefined,
): Shape<T> {
  return shape({
    wanted: `the assigned name of ${article(what)}`,
    fits: isText,
    read(node, spot) {
      if (!isWord(node)) return undefined;
      const found = find(node.text);
      if (found !== undefined) return found;
      const like = guess(node.text, spot.suggest);
      const name = like !== undefined && 'name' in like ? like.name : undefined;
      const hint =
        name !== undefined
          ? `write \`${name}\``
          : like !== undefined && 'words' in like
            ? like.words
            : `write the assigned name of ${article(what)} in words`;
      spot.report(
        unknownName.at(
          node.at,
          { name: spot.name, found: shortText(node.text), what, hint },
          { fixes: writeInstead(node.at, name) },
        ),
      );
      return undefined;
    },
    schema: () => ({ anyOf: [{ enum: names }, { type: 'string' }] }),
  });
}

const unitNames = units.map((unit) => unit.name);

const unitByWords: Shape<UnitCode> = assignedName(
  'unit',
  (text) => unitByName(text)?.code,
  unitNames,
  (text, suggest) => {
    const meant = [...unitsBySymbol(text), ...unitsMeasuredIn(text)];
    const [only] = meant;
    if (meant.length === 1 && only !== undefined) return { name: only.name };
    if (meant.length > 1)
      return {
        words: `write ${listed(
          meant.map((unit) => unit.name),
          'or',
        )}`,
      };
    const like = suggest(text, unitNames);
    return like === undefined ? undefined : { name: like };
  },
);

const unitByNumber: Shape<UnitCode> = map(whole(0x2700, 0x27ff, { hex: true }), (code, node, spot) => {
  if (unitByCode(code) !== undefined) return code;
  const found = node.kind === 'scalar' ? node.text : '';
  spot.report(
    unknownName.at(node.at, {
      name: spot.name,
      found,
      what: 'unit',
      hint: 'write the unit in words, for example `hertz`',
    }),
  );
  return undefined;
});

/** A unit by its assigned name, or by its number. */
export const unit: Shape<UnitCode> = either(unitByWords, unitByNumber);

const appearanceNames = appearances.map((appearance) => appearance.name);

/** An appearance by its number or assigned name. */
export const appearance: Shape<number> = either(
  whole(0, 0xffff, { hex: true }),
  assignedName(
    'appearance',
    (text) => appearanceByName(text)?.value,
    appearanceNames,
    (text, suggest) => nearestOf(text, appearanceNames, suggest),
  ),
);

const namesWithFormat = adoptedCharacteristics.map((entry) => entry.name);
const characteristicNames = characteristics.all.map((entry) => entry.name);

/** An adopted characteristic by its assigned name, whether its format is known here or not. */
export const adoptedName: Shape<Assigned> = assignedName(
  'adopted characteristic',
  (text) => characteristics.byName(text),
  characteristicNames,
  (text, suggest) => nearestOf(text, namesWithFormat, suggest) ?? nearestOf(text, characteristicNames, suggest),
);

const serviceNames = adoptedServices.map((service) => service.name);

/** An adopted service that `use` takes. */
export const serviceName: Shape<AdoptedService> = {
  ...assignedName(
    'adopted service that can be used',
    adoptedService,
    serviceNames,
    (text, suggest) => nearestOf(text, serviceNames, suggest) ?? { words: `use one of ${listed(serviceNames)}` },
  ),
  schema: () => ({ enum: serviceNames }),
};

function nearestOf(text: string, names: readonly string[], suggest: Suggest): { readonly name: string } | undefined {
  const name = suggest(text, names);
  return name === undefined ? undefined : { name };
}

function article(noun: string): string {
  return `${/^[aeio]/.test(noun) ? 'an' : 'a'} ${noun}`;
}
