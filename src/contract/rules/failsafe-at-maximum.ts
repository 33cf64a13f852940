import { compare, equal } from '../../base/rational.ts';
import { showPhysical } from '../../values/show.ts';
import { placeOf } from '../model.ts';
import { isAtRest, physicalOf } from './rest.ts';
import { characteristicRule } from './rule.ts';
import { characteristics } from './sample.ts';

export const failsafeAtMaximum = characteristicRule<{ name: string; value: string }>(
  {
    code: 'failsafe-at-maximum',
    severity: 'warning',
    title: 'Safe value is full power',
    why: 'Loss of the link then drives the actuator as hard as it can go: right for a vent or a brake, wrong for nearly all else.',
    source: 'common practice',
    bad: characteristics(`
id: lamp
label: Lamp power
type: uint8
unit: percentage
range: [0, 100]
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: 100 }`),
    good: characteristics(`
id: lamp
label: Lamp power
type: uint8
unit: percentage
range: [0, 100]
access: [read, write]
actuator: true
needs: encrypted
on-link-loss: { value: 0 }`),
    message: ({ name, value }) => `on link loss actuator \`${name}\` goes to ${value}, the end of its range`,
    hint: () => 'set `value` to where it does least, or waive this with why the end of the range is safe',
  },
  (characteristic, report) => {
    const { actuator, onLinkLoss, type, where, id } = characteristic;
    if (!actuator || onLinkLoss.kind !== 'set') return;
    if ((type.kind !== 'integer' && type.kind !== 'float') || type.range === undefined) return;
    const value = physicalOf(type, onLinkLoss.raw);
    if (value?.kind !== 'number' || isAtRest(type, value)) return;
    // A range that ends at zero has its full power at the other end.
    const fullMin = compare(type.range.min, { num: 0n, den: 1n }) < 0 && equal(value.value, type.range.min);
    if (!fullMin && !equal(value.value, type.range.max)) return;
    report(placeOf(where, 'on-link-loss'), { name: id, value: showPhysical(type, value, { unit: true }) });
  },
);
