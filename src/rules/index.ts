/** The list of rules. A rule that is not listed here does not exist for any door. */
import { addressDuplicate } from './address-duplicate.js';
import { addressMissing } from './address-missing.js';
import { addressOutOfRange } from './address-out-of-range.js';
import { addressReserved } from './address-reserved.js';
import { certificateExpired } from './certificate-expired.js';
import { certificateNameMismatch } from './certificate-name-mismatch.js';
import { defaultAddressClash } from './default-address-clash.js';
import { hostDuplicate } from './host-duplicate.js';
import { hostInPool } from './host-in-pool.js';
import { hostOnReservedAddress } from './host-on-reserved-address.js';
import { hostOutsideSubnet } from './host-outside-subnet.js';
import { laptopAddressTaken } from './laptop-address-taken.js';
import { laptopMissing } from './laptop-missing.js';
import { mainControllerDuplicate } from './main-controller-duplicate.js';
import { observedCountMismatch } from './observed-count-mismatch.js';
import { pageSchemeInsecure } from './page-scheme-insecure.js';
import { poolOutsideSubnet } from './pool-outside-subnet.js';
import { routerOutsideSubnet } from './router-outside-subnet.js';
import { subnetOverlap } from './subnet-overlap.js';
import { supervisionOvercrowded } from './supervision-overcrowded.js';
import { templateUnused } from './template-unused.js';
import { unitUnsupervised } from './unit-unsupervised.js';
import { waiverExceeded } from './waiver-exceeded.js';
import { waiverExpired } from './waiver-expired.js';
import { waiverRefused } from './waiver-refused.js';
import { waiverUnused } from './waiver-unused.js';
import { zoneUnreachable } from './zone-unreachable.js';
import type { Rule } from './rule.js';

/** Rules about buses. */
const bus: readonly Rule[] = [];

/** Rules about supplies, feeds, ways and isolation. */
const supply: readonly Rule[] = [];

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
