import { placeOf } from '../../contract/model.ts';
import { characteristics } from '../../contract/rules/sample.ts';
import { longestValue } from '../descriptors.ts';
import { valueRule } from './table-rule.ts';

const trace = (count: number): string => `
id: trace
label: Trace
type: { array: uint32, count: ${count} }
access: [read]`;

export const valueTooLong = valueRule<{ name: string; length: number }>(
  {
    code: 'value-too-long',
    severity: 'error',
    title: 'Value longer than an attribute may be',
    why: 'No attribute holds more than 512 octets; what is longer cannot be read, whatever the MTU.',
    source: 'Core Vol 3 Part F 3.2.9',
    bad: characteristics(trace(200)),
    good: characteristics(trace(100)),
    message: ({ name, length }) => `\`${name}\` is up to ${length} octets, but an attribute holds at most 512`,
    hint: () => 'send it in parts, with the number of the part in front, or shorten it',
  },
  ({ value, characteristic }, report) => {
    if (value.maxLength <= longestValue) return;
    report(placeOf(characteristic.where, 'type'), { name: value.id, length: value.maxLength });
  },
);
