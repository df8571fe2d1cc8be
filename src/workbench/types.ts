/** The model's types and words that the doors need, so that they know the workbench alone. */
export type { LocatedFinding, Position, Range } from '../model/located.js';
export type { Fact, Finding, Severity } from '../model/finding.js';
export { messageOf } from '../model/finding.js';
