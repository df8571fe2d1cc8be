import { type CancellationToken, CancellationTokenSource } from 'vscode';

/** Of questions asked one after another only the last one counts; the others are cancelled. */
export class Latest {
  private source = new CancellationTokenSource();

  /** Undefined when another question was asked, or all were cancelled, before the answer came. */
  async ask<Answer>(
    question: (token: CancellationToken) => Promise<Answer>,
  ): Promise<Answer | undefined> {
    this.cancel();
    const { token } = (this.source = new CancellationTokenSource());
    const answer = await question(token);
    return token.isCancellationRequested ? undefined : answer;
  }

  cancel(): void {
    this.source.cancel();
    this.source.dispose();
  }
}
