import { firstExample } from './first-example.ts';

export type Example = {
  readonly name: string;
  /** What it is, on the menu. */
  readonly about: string;
  /** The contract's text; only the wave tank's comes with the page. */
  load(): Promise<string>;
};

export const examples: readonly Example[] = [
  {
    name: firstExample.name,
    about: 'Desk wave tank: paddle, gauge, lamp, dye and a caption',
    load: () => Promise.resolve(firstExample.text),
  },
  {
    name: 'greenhouse',
    about: 'Greenhouse bay: air and soil, a vent on a servo, a pump that must stop',
    load: async () => (await import('../../../examples/greenhouse/contract.yaml?raw')).default,
  },
  {
    name: 'telescope',
    about: 'Star tracker: angles with sign, a rate made by a timer, a focus curve',
    load: async () => (await import('../../../examples/telescope/contract.yaml?raw')).default,
  },
  {
    name: 'seismograph',
    about: 'Seismograph: blocks of samples, wide integers, long values',
    load: async () => (await import('../../../examples/seismograph/contract.yaml?raw')).default,
  },
  {
    name: 'dimmer',
    about: 'Stage lights: twelve levels at once, scenes, a lamp converter',
    load: async () => (await import('../../../examples/dimmer/contract.yaml?raw')).default,
  },
];
