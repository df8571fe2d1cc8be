/** Paths as `use` lines write them: from the folder of the file, with `/`, starting with a dot. */

/** The path by which a file names another one. Both are absolute paths or URIs of one kind. */
export function relativePath(from: string, to: string): string {
  const fromSteps = decoded(from).split('/').slice(0, -1);
  const toSteps = decoded(to).split('/');
  let shared = 0;
  while (shared < fromSteps.length && fromSteps[shared] === toSteps[shared]) {
    shared++;
  }
  const up = fromSteps.slice(shared).map(() => '..');
  const path = [...up, ...toSteps.slice(shared)].join('/');
  return up.length === 0 ? `./${path}` : path;
}

/** URIs keep blanks and letters with accents as escapes; people write them as they are. */
function decoded(path: string): string {
  try {
    return /^[a-z][a-z0-9+.-]*:/iu.test(path) ? decodeURIComponent(path) : path;
  } catch {
    return path;
  }
}
