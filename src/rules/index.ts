/** The list of rules. A rule that is not listed here does not exist for any door. */
import { addressDuplicate } from './address-duplicate.js';
import { addressMissing } from './address-missing.js';
import { addressOutOfRange } from './address-out-of-range.js';
import { addressReserved } from './address-reserved.js';
import { busControllerDuplicate } from './bus-controller-duplicate.js';
import { busControllerMissing } from './bus-controller-missing.js';
import { busFarthestTooFar } from './bus-farthest-too-far.js';
import { busOvercrowded } from './bus-overcrowded.js';
import { busPowerOverloaded } from './bus-power-overloaded.js';
import { busPowerUndervoltage } from './bus-power-undervoltage.js';
import { busShapeUnsupported } from './bus-shape-unsupported.js';
import { busSourceDuplicate } from './bus-source-duplicate.js';
import { busSourceMissing } from './bus-source-missing.js';
import { busTooLong } from './bus-too-long.js';
import { busTypeMismatch } from './bus-type-mismatch.js';
import { cableUnsuitable } from './cable-unsuitable.js';
import { certificateExpired } from './certificate-expired.js';
import { certificateNameMismatch } from './certificate-name-mismatch.js';
import { class2Exceeded } from './class2-exceeded.js';
import { conductorUndersized } from './conductor-undersized.js';
import { conductorsSwapped } from './conductors-swapped.js';
import { coreColourMisused } from './core-colour-misused.js';
import { defaultAddressClash } from './default-address-clash.js';
import { hostDuplicate } from './host-duplicate.js';
import { hostInPool } from './host-in-pool.js';
import { hostOnReservedAddress } from './host-on-reserved-address.js';
import { hostOutsideSubnet } from './host-outside-subnet.js';
import { idleBiasInsufficient } from './idle-bias-insufficient.js';
import { inletUndervoltage } from './inlet-undervoltage.js';
import { isolationUnknown } from './isolation-unknown.js';
import { laptopAddressTaken } from './laptop-address-taken.js';
import { laptopMissing } from './laptop-missing.js';
import { lengthEstimated } from './length-estimated.js';
import { liveTerminalsUncovered } from './live-terminals-uncovered.js';
import { mainControllerDuplicate } from './main-controller-duplicate.js';
import { mainsBesideSignal } from './mains-beside-signal.js';
import { observedCountMismatch } from './observed-count-mismatch.js';
import { observedValueMismatch } from './observed-value-mismatch.js';
import { pageSchemeInsecure } from './page-scheme-insecure.js';
import { poolOutsideSubnet } from './pool-outside-subnet.js';
import { portLandedTwice } from './port-landed-twice.js';
import { portUnlanded } from './port-unlanded.js';
import { protectionBlind } from './protection-blind.js';
import { protectiveEarthMissing } from './protective-earth-missing.js';
import { routerOutsideSubnet } from './router-outside-subnet.js';
import { scanTooSlow } from './scan-too-slow.js';
import { screenBondedTwice } from './screen-bonded-twice.js';
import { screenUnbonded } from './screen-unbonded.js';
import { signalInsufficient } from './signal-insufficient.js';
import { sourcesParalleled } from './sources-paralleled.js';
import { stubTooLong } from './stub-too-long.js';
import { subnetOverlap } from './subnet-overlap.js';
import { supervisionOvercrowded } from './supervision-overcrowded.js';
import { supplyMissing } from './supply-missing.js';
import { supplyNotDedicated } from './supply-not-dedicated.js';
import { supplyOverloaded } from './supply-overloaded.js';
import { supplyRedundant } from './supply-redundant.js';
import { supplyTypeMismatch } from './supply-type-mismatch.js';
import { templateDeprecated } from './template-deprecated.js';
import { templateUnused } from './template-unused.js';
import { terminalOverfilled } from './terminal-overfilled.js';
import { terminatorDuplicate } from './terminator-duplicate.js';
import { terminatorMisplaced } from './terminator-misplaced.js';
import { terminatorMissing } from './terminator-missing.js';
import { unitLoadExceeded } from './unit-load-exceeded.js';
import { unitUnsupervised } from './unit-unsupervised.js';
import { voltageCollapse } from './voltage-collapse.js';
import { voltageDropExcessive } from './voltage-drop-excessive.js';
import { waiverExceeded } from './waiver-exceeded.js';
import { waiverExpired } from './waiver-expired.js';
import { waiverRefused } from './waiver-refused.js';
import { waiverUnused } from './waiver-unused.js';
import { wayOverloaded } from './way-overloaded.js';
import { zoneUnreachable } from './zone-unreachable.js';
import type { Rule } from './rule.js';

/** Rules about buses. */
const bus: readonly Rule[] = [
  busTypeMismatch,
  busShapeUnsupported,
  busOvercrowded,
  busTooLong,
  busFarthestTooFar,
  stubTooLong,
  cableUnsuitable,
  terminatorMissing,
  terminatorMisplaced,
  terminatorDuplicate,
  busControllerMissing,
  busControllerDuplicate,
  busSourceMissing,
  busSourceDuplicate,
  portLandedTwice,
  portUnlanded,
  conductorsSwapped,
  screenUnbonded,
  screenBondedTwice,
  unitLoadExceeded,
  idleBiasInsufficient,
  signalInsufficient,
  scanTooSlow,
  terminalOverfilled,
  lengthEstimated,
];

/** Rules about supplies, feeds, ways and isolation. */
const supply: readonly Rule[] = [
  supplyMissing,
  supplyRedundant,
  supplyTypeMismatch,
  supplyNotDedicated,
  supplyOverloaded,
  wayOverloaded,
  sourcesParalleled,
  voltageCollapse,
  inletUndervoltage,
  voltageDropExcessive,
  conductorUndersized,
  class2Exceeded,
  protectionBlind,
  protectiveEarthMissing,
  coreColourMisused,
  isolationUnknown,
  liveTerminalsUncovered,
  busPowerOverloaded,
  busPowerUndervoltage,
  mainsBesideSignal,
];

/** Rules about addresses and supervision. */
const supervision: readonly Rule[] = [
  addressMissing,
  addressReserved,
  addressOutOfRange,
  addressDuplicate,
  unitUnsupervised,
  supervisionOvercrowded,
  mainControllerDuplicate,
  zoneUnreachable,
  observedCountMismatch,
  observedValueMismatch,
];

/** Rules about IP networks and web pages. */
const network: readonly Rule[] = [
  subnetOverlap,
  routerOutsideSubnet,
  poolOutsideSubnet,
  hostOutsideSubnet,
  hostOnReservedAddress,
  hostDuplicate,
  hostInPool,
  laptopMissing,
  laptopAddressTaken,
  defaultAddressClash,
  pageSchemeInsecure,
  certificateExpired,
  certificateNameMismatch,
];

/** Rules about the text's own upkeep. */
const housekeeping: readonly Rule[] = [
  templateDeprecated,
  templateUnused,
  waiverRefused,
  waiverExpired,
  waiverExceeded,
  waiverUnused,
];

/** Every rule, in the order in which findings of one line are shown. */
export const RULES: readonly Rule[] = [
  ...bus,
  ...supply,
  ...supervision,
  ...network,
  ...housekeeping,
];
