/** A share of the sites, so that several computers check a portfolio together. */
import type { Arguments } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import { portfolioTexts } from './texts-portfolio.js';

/** The `index`-th of `count` shares, both from 1. */
export interface Shard {
  readonly index: number;
  readonly count: number;
}

export function shardIn(args: Arguments): Shard | undefined {
  const text = args.values.get('shard');
  if (text === undefined) {
    return undefined;
  }
  const [, index, count] = /^(\d{1,5})\/(\d{1,5})$/u.exec(text) ?? [];
  const shard = { index: Number(index), count: Number(count) };
  if (!(shard.index >= 1 && shard.index <= shard.count)) {
    throw new CannotRun(portfolioTexts.noShard(text));
  }
  return shard;
}

/** The sites of one share; those of all shares together are all, each once. */
export function rootsOfShard(
  roots: readonly string[],
  shard: Shard | undefined,
): readonly string[] {
  return shard === undefined
    ? roots
    : roots.filter((_, place) => place % shard.count === shard.index - 1);
}
