/**
 * The rules that the language raises while it reads the text. They have a name, a severity and a
 * page like every other rule, but no check over the site: what they find never reaches the model.
 */
import type { Severity } from '../model/finding.js';

/** What every rule has, whoever raises it. */
export interface RuleFacts {
  readonly name: string;
  readonly severity: Severity;
  /** False where no waiver and no `severity` line may touch it. */
  readonly acceptable: boolean;
}

/**
 * Rules about text. Those that leave a part of the site unread cannot be accepted: what is unread
 * is unchecked, and a clean result would be a lie.
 */
export const RAISED_RULES: readonly RuleFacts[] = [
  { name: 'syntax-error', severity: 'error', acceptable: false },
  { name: 'quantity-unit-mismatch', severity: 'error', acceptable: false },
  { name: 'name-unknown', severity: 'error', acceptable: false },
  { name: 'name-duplicate', severity: 'error', acceptable: false },
  { name: 'name-shadowed', severity: 'warning', acceptable: true },
  { name: 'import-missing', severity: 'error', acceptable: false },
  { name: 'import-unreadable', severity: 'error', acceptable: false },
  { name: 'import-cycle', severity: 'error', acceptable: false },
  { name: 'package-missing', severity: 'error', acceptable: false },
  { name: 'package-unreadable', severity: 'error', acceptable: false },
  { name: 'package-language-unsupported', severity: 'error', acceptable: false },
  { name: 'package-versions-mixed', severity: 'error', acceptable: false },
  { name: 'package-altered', severity: 'error', acceptable: false },
  { name: 'template-recursive', severity: 'error', acceptable: false },
  { name: 'assembly-too-large', severity: 'error', acceptable: false },
  { name: 'import-unused', severity: 'warning', acceptable: true },
];
