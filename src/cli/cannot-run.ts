/** The command could not do its work. The message is for the person who typed it; the exit code is 2. */
export class CannotRun extends Error {
  override readonly name = 'CannotRun';
}
