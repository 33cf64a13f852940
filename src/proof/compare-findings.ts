import { findingKind, type FindingDoc } from '../base/finding.ts';

/** Findings about a board, not about a text: they point at the contract's words that the board does not keep. */

const discovery = 'Core Vol 3 Part G 4.4 to 4.7';

/** There is no contract with these findings and one without: the same contract has them with one board only. */
const ofBoard = { bad: '', good: '' } as const;

export const serviceLacking = findingKind<{ service: string; uuid: string }>({
  code: 'board-lacks-service',
  severity: 'error',
  title: 'Service that the board does not have',
  why: 'Nothing of the service can be reached: the board runs other firmware, or another contract’s.',
  source: discovery,
  ...ofBoard,
  message: ({ service, uuid }) => `the board has no service \`${service}\` (${uuid})`,
  hint: () => 'load the firmware of this contract onto the board, or connect to another board',
});

export const characteristicLacking = findingKind<{ id: string; uuid: string; service: string }>({
  code: 'board-lacks-characteristic',
  severity: 'error',
  title: 'Characteristic that the board does not have',
  why: 'The value cannot be reached; what the board has under other UUIDs may be an older version of it.',
  source: discovery,
  ...ofBoard,
  message: ({ id, uuid, service }) => `the board’s service \`${service}\` has no characteristic \`${id}\` (${uuid})`,
  hint: () => 'load the firmware of this contract onto the board, or set the UUID to the one that the board has',
});

export const descriptorLacking = findingKind<{ id: string; descriptor: string }>({
  code: 'board-lacks-descriptor',
  severity: 'error',
  title: 'Descriptor that the board does not have',
  why: 'Without its configuration nobody can subscribe; without its format a client that does not know the contract cannot show the value.',
  source: 'Core Vol 3 Part G 3.3.3',
  ...ofBoard,
  message: ({ id, descriptor }) => `\`${id}\` of the board has no ${descriptor}`,
  hint: () => 'load the firmware of this contract onto the board',
});

export const serviceBeyond = findingKind<{ uuid: string }>({
  code: 'board-has-more-services',
  severity: 'warning',
  title: 'Service that the contract does not have',
  why: 'What is not in the contract is not documented, not checked and not proved.',
  source: discovery,
  ...ofBoard,
  message: ({ uuid }) => `the board has a service ${uuid} that the contract does not have`,
  hint: () => 'add the service to the contract, or take it out of the board',
});

export const characteristicBeyond = findingKind<{ uuid: string; service: string }>({
  code: 'board-has-more-characteristics',
  severity: 'warning',
  title: 'Characteristic that the contract does not have',
  why: 'What is not in the contract is not documented, not checked and not proved.',
  source: discovery,
  ...ofBoard,
  message: ({ uuid, service }) =>
    `the board’s service \`${service}\` has a characteristic ${uuid} that the contract does not have`,
  hint: () => 'add the characteristic to the contract, or take it out of the board',
});

export const propertiesDiffer = findingKind<{ id: string; found: string; wanted: string }>({
  code: 'board-properties-differ',
  severity: 'error',
  title: 'Other properties than the contract’s',
  why: 'Clients offer what the properties say: an act that is missing is not offered, one too many is refused.',
  source: 'Core Vol 3 Part G 3.3.1.1',
  ...ofBoard,
  message: ({ id, found, wanted }) => `\`${id}\` of the board says ${found}, but the contract says ${wanted}`,
  hint: () => 'load the firmware of this contract onto the board, or set `access` to what the board does',
});

export const formatDiffers = findingKind<{ id: string; found: string; wanted: string }>({
  code: 'board-format-differs',
  severity: 'error',
  title: 'Other format than the contract’s',
  why: 'Every number read from the board would be shown wrong.',
  source: 'Core Vol 3 Part G 3.3.3.5',
  ...ofBoard,
  message: ({ id, found, wanted }) =>
    `the format of \`${id}\` on the board is ${found}, but the contract’s is ${wanted}`,
  hint: () => 'load the firmware of this contract onto the board, or set `type`, `scale` and `unit` to the board’s',
});

/** For `gattwright explain`. */
export const comparisonFindings: readonly FindingDoc[] = [
  serviceLacking.doc,
  characteristicLacking.doc,
  descriptorLacking.doc,
  serviceBeyond.doc,
  characteristicBeyond.doc,
  propertiesDiffer.doc,
  formatDiffers.doc,
];
