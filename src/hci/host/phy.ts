import type { Phy } from '../../contract/model.ts';
import { leFeature } from './bring-up.ts';

/** How a PHY is asked for, Core Vol 4 Part E 7.8.49: the bit of the PHY, and which coding. */
export type PhyRequest = {
  readonly bit: number;
  /** 0 = no preference, 1 = S=2, 2 = S=8. */
  readonly options: number;
  /** Bit of the LE features that a controller needs for it; `undefined`: every one has it. */
  readonly feature: number | undefined;
};

export const phyRequests: Readonly<Record<Phy, PhyRequest>> = {
  '1M': { bit: 1, options: 0, feature: undefined },
  '2M': { bit: 2, options: 0, feature: leFeature.phy2M },
  'coded-s2': { bit: 4, options: 1, feature: leFeature.phyCoded },
  'coded-s8': { bit: 4, options: 2, feature: leFeature.phyCoded },
};
