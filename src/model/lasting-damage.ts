/** Damage of a site that changes in place: who asked about a declaration hears of that one alone. */
import type { Damage, LostDeclaration } from './damage.js';
import { NO_DAMAGE } from './damage.js';
import { Records } from './store-tables.js';
import { Cell } from './tracking.js';

export class LastingDamage implements Damage {
  readonly hurt = new Records<readonly string[]>();
  readonly #lostCell = new Cell();
  #lost: readonly LostDeclaration[] = NO_DAMAGE.lost;

  get lost(): readonly LostDeclaration[] {
    this.#lostCell.read();
    return this.#lost;
  }

  become({ hurt, lost }: Damage): void {
    this.hurt.become(hurt, areSameWords);
    const isSame =
      lost.length === this.#lost.length &&
      lost.every((one, index) => isSameLoss(one, this.#lost[index]!));
    if (!isSame) {
      this.#lost = lost;
      this.#lostCell.changed();
    }
  }
}

function isSameLoss(one: LostDeclaration, other: LostDeclaration): boolean {
  return (
    areSameWords(one.kinds, other.kinds) &&
    (one.mentions === undefined) === (other.mentions === undefined) &&
    areSameWords([...(one.mentions ?? [])], [...(other.mentions ?? [])])
  );
}

function areSameWords(one: readonly string[], other: readonly string[]): boolean {
  return one.length === other.length && one.every((word, index) => word === other[index]);
}
