import { actuatorBothWrites } from './actuator-both-writes.ts';
import { actuatorOpen } from './actuator-open.ts';
import { actuatorUnguarded } from './actuator-unguarded.ts';
import { actuatorUnreadable } from './actuator-unreadable.ts';
import { actuatorWithoutFailsafe } from './actuator-without-failsafe.ts';
import { actuatorWithoutRange } from './actuator-without-range.ts';
import { adcWritable } from './adc-writable.ts';
import { adoptedAccessDiffers } from './adopted-access-differs.ts';
import { adoptedFormatDiffers } from './adopted-format-differs.ts';
import { adoptedFormatUnlike } from './adopted-format-unlike.ts';
import { advertisesSecondary } from './advertises-secondary.ts';
import { advertisingBeyondLegacy } from './advertising-beyond-legacy.ts';
import { advertisingFastOnBattery } from './advertising-fast-on-battery.ts';
import { advertisingSlow } from './advertising-slow.ts';
import { appearanceNotAssigned } from './appearance-not-assigned.ts';
import { authenticatedNeedsIo } from './authenticated-needs-io.ts';
import { companyForTests } from './company-for-tests.ts';
import { connectionFastOnBattery } from './connection-fast-on-battery.ts';
import { driveBeyondSpan } from './drive-beyond-span.ts';
import { driveCoarserThanCode } from './drive-coarser-than-code.ts';
import { driveNearNyquist } from './drive-near-nyquist.ts';
import { driveNotWritable } from './drive-not-writable.ts';
import { driveTooCoarse } from './drive-too-coarse.ts';
import { failsafeAtMaximum } from './failsafe-at-maximum.ts';
import { failsafeLate } from './failsafe-late.ts';
import { failsafeNotWritable } from './failsafe-not-writable.ts';
import { floatWithoutRange } from './float-without-range.ts';
import { formatNotSayable } from './format-not-sayable.ts';
import { genericServiceGiven } from './generic-service-given.ts';
import { includeCycle } from './include-cycle.ts';
import { indicateTooFast } from './indicate-too-fast.ts';
import { instanceWithoutLabel } from './instance-without-label.ts';
import { labelEmpty } from './label-empty.ts';
import { labelOpen } from './label-open.ts';
import { labelRepeated } from './label-repeated.ts';
import { labelUnitDiffers } from './label-unit-differs.ts';
import { latencyDelaysWrites } from './latency-delays-writes.ts';
import { mtuBeyondPacket } from './mtu-beyond-packet.ts';
import { nameNotAdvertised } from './name-not-advertised.ts';
import { nameWithoutUnit } from './name-without-unit.ts';
import { needsWithoutAccess } from './needs-without-access.ts';
import { notifyUnreadable } from './notify-unreadable.ts';
import { notifyWithoutRate } from './notify-without-rate.ts';
import { oneValueOnly } from './one-value-only.ts';
import { outsidePhoneGuidelines } from './outside-phone-guidelines.ts';
import { percentageAsFraction } from './percentage-as-fraction.ts';
import { periodBelowBound } from './period-below-bound.ts';
import { periodBelowInterval } from './period-below-interval.ts';
import { phyRarelySupported } from './phy-rarely-supported.ts';
import { pinnedWithoutReserve } from './pinned-without-reserve.ts';
import { pollOnly } from './poll-only.ts';
import { rangeBetweenCodes } from './range-between-codes.ts';
import { refuseWithUnused } from './refuse-with-unused.ts';
import { reliableWriteUnused } from './reliable-write-unused.ts';
import { resolutionTooCoarse } from './resolution-too-coarse.ts';
import { secondaryNotIncluded } from './secondary-not-included.ts';
import { serviceEmpty } from './service-empty.ts';
import { specialInRange } from './special-in-range.ts';
import { startNotAtRest } from './start-not-at-rest.ts';
import { stepBetweenCodes } from './step-between-codes.ts';
import { structPaddedInC } from './struct-padded-in-c.ts';
import { structUnusedBits } from './struct-unused-bits.ts';
import { subscribeWeakerThanRead } from './subscribe-weaker-than-read.ts';
import { supervisionTooShort } from './supervision-too-short.ts';
import { textShorterThanCharacter } from './text-shorter-than-character.ts';
import { typeTooNarrow } from './type-too-narrow.ts';
import { unitMissing } from './unit-missing.ts';
import { unitNotFilled } from './unit-not-filled.ts';
import { unitNotShown } from './unit-not-shown.ts';
import { utf16OddLength } from './utf16-odd-length.ts';
import { uuidBaseOfBluetooth } from './uuid-base-of-bluetooth.ts';
import { uuidBaseSlotSet } from './uuid-base-slot-set.ts';
import { uuidMadeByHand } from './uuid-made-by-hand.ts';
import { uuidNotAssigned } from './uuid-not-assigned.ts';
import { uuidOfMember } from './uuid-of-member.ts';
import { uuidOfOtherKind } from './uuid-of-other-kind.ts';
import { uuidRepeated } from './uuid-repeated.ts';
import { uuidWithTwoFormats } from './uuid-with-two-formats.ts';
import { writeMayBeLost } from './write-may-be-lost.ts';
import { writeWeakerThanRead } from './write-weaker-than-read.ts';
import type { Rule } from './rule.ts';

/** All lints of the contract; to add one, write its file and its line here. */
export const contractRules: readonly Rule[] = [
  actuatorBothWrites,
  actuatorOpen,
  actuatorUnguarded,
  actuatorUnreadable,
  actuatorWithoutFailsafe,
  actuatorWithoutRange,
  adcWritable,
  adoptedAccessDiffers,
  adoptedFormatDiffers,
  adoptedFormatUnlike,
  advertisesSecondary,
  advertisingBeyondLegacy,
  advertisingFastOnBattery,
  advertisingSlow,
  appearanceNotAssigned,
  authenticatedNeedsIo,
  companyForTests,
  connectionFastOnBattery,
  driveBeyondSpan,
  driveCoarserThanCode,
  driveNearNyquist,
  driveNotWritable,
  driveTooCoarse,
  failsafeAtMaximum,
  failsafeLate,
  failsafeNotWritable,
  floatWithoutRange,
  formatNotSayable,
  genericServiceGiven,
  includeCycle,
  indicateTooFast,
  instanceWithoutLabel,
  labelEmpty,
  labelOpen,
  labelRepeated,
  labelUnitDiffers,
  latencyDelaysWrites,
  mtuBeyondPacket,
  nameNotAdvertised,
  nameWithoutUnit,
  needsWithoutAccess,
  notifyUnreadable,
  notifyWithoutRate,
  oneValueOnly,
  outsidePhoneGuidelines,
  percentageAsFraction,
  periodBelowBound,
  periodBelowInterval,
  phyRarelySupported,
  pinnedWithoutReserve,
  pollOnly,
  rangeBetweenCodes,
  refuseWithUnused,
  reliableWriteUnused,
  resolutionTooCoarse,
  secondaryNotIncluded,
  serviceEmpty,
  specialInRange,
  startNotAtRest,
  stepBetweenCodes,
  structPaddedInC,
  structUnusedBits,
  subscribeWeakerThanRead,
  supervisionTooShort,
  textShorterThanCharacter,
  typeTooNarrow,
  unitMissing,
  unitNotFilled,
  unitNotShown,
  utf16OddLength,
  uuidBaseOfBluetooth,
  uuidBaseSlotSet,
  uuidMadeByHand,
  uuidNotAssigned,
  uuidOfMember,
  uuidOfOtherKind,
  uuidRepeated,
  uuidWithTwoFormats,
  writeMayBeLost,
  writeWeakerThanRead,
];
