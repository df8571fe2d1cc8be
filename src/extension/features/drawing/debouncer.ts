/** Runs the last action asked for, once nothing was asked for during its delay. */
export class Debouncer {
  private timer: NodeJS.Timeout | undefined;

  run(delayMs: number, action: () => void): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(action, delayMs);
  }

  cancel(): void {
    clearTimeout(this.timer);
  }
}
