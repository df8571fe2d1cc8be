/** Names that a person may have meant: for doors that correct a mistyped word without opening a site. */
export { nearNames } from '../analysis/near-names.js';
