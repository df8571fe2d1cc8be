/** Which of the versions that a registry has are newer than one. */
import { compare, gt, prerelease, valid } from 'semver';

/** In order, oldest first; versions on trial are left out. Undefined where `current` is no version. */
export function newerVersions(
  current: string,
  published: readonly string[],
): readonly string[] | undefined {
  if (valid(current) === null) {
    return undefined;
  }
  return published
    .filter((one) => valid(one) !== null && prerelease(one) === null && gt(one, current))
    .sort(compare);
}
