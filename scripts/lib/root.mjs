import path from 'node:path';
import { fileURLToPath } from 'node:url';

/** The project's own folder. */
export const root = fileURLToPath(new URL('../..', import.meta.url)).replace(/[\\/]$/, '');

/**
 * A path inside the project.
 * @param {...string} parts
 */
export const inProject = (...parts) => path.join(root, ...parts);
