import { readdirSync } from 'node:fs';
import { inProject } from '../../scripts/lib/root.mjs';

/**
 * The files below a folder of the project, as paths from the project's folder with `/`, sorted.
 * Generated code is left out: nobody writes it.
 */
export function filesBelow(folder: string): string[] {
  return readdirSync(inProject(folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => `${entry.parentPath}/${entry.name}`.replaceAll('\\', '/'))
    .map((file) => file.slice(inProject().replaceAll('\\', '/').length + 1))
    .filter((file) => !file.includes('/generated/'))
    .sort();
}
