import { labelLongRead } from './label-long-read.ts';
import { longRead } from './long-read.ts';
import { longWrite } from './long-write.ts';
import { noServiceAdvertised } from './no-service-advertised.ts';
import { notAdvertised } from './not-advertised.ts';
import { notificationCut } from './notification-cut.ts';
import { notificationCutAtDefault } from './notification-cut-at-default.ts';
import { notificationNeverFits } from './notification-never-fits.ts';
import { onlyInScanResponse } from './only-in-scan-response.ts';
import { packetLongerThanInterval } from './packet-longer-than-interval.ts';
import { rateBeyondAir } from './rate-beyond-air.ts';
import { rateBeyondPhones } from './rate-beyond-phones.ts';
import { valueInPieces } from './value-in-pieces.ts';
import { valueTooLong } from './value-too-long.ts';
import { writeCommandTooLong } from './write-command-too-long.ts';
import type { TableRule } from './table-rule.ts';

/** All lints of the table; to add one, write its file and its line here. */
export const tableRules: readonly TableRule[] = [
  labelLongRead,
  longRead,
  longWrite,
  noServiceAdvertised,
  notAdvertised,
  notificationCut,
  notificationCutAtDefault,
  notificationNeverFits,
  onlyInScanResponse,
  packetLongerThanInterval,
  rateBeyondAir,
  rateBeyondPhones,
  valueInPieces,
  valueTooLong,
  writeCommandTooLong,
];
