/** The manual page of each rule: for doors that show it without opening a site. */
import { rulePages } from '../rules/generated/pages.js';

export const ruleNames: readonly string[] = [...rulePages.keys()];

/** The page as Markdown; undefined for a rule that does not exist. */
export function rulePage(name: string): string | undefined {
  return rulePages.get(name);
}
