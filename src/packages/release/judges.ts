/** How a change of one stated fact weighs for whoever has the template on a site. */

/** major: a site that was right may be wrong now. minor: more is there, or something is better. patch: words. */
export type Step = 'major' | 'minor' | 'patch';

export type Judge<Value> = (before: Value, after: Value) => Step;

/** A judge for each field, so that a field that the language gains is judged or does not compile. */
export type Judges<Item> = {
  readonly [Field in keyof Required<Item>]: Judge<Item[Field]> | typeof APART;
};

/** Compared on its own: a list of parts with names, or what tells the items apart. */
export const APART = 'apart';

export const text: Judge<unknown> = () => 'patch';
export const noted: Judge<unknown> = () => 'minor';
export const fixed: Judge<unknown> = () => 'major';

/** The more the better: a rating, a limit of a bus. `absent` is what a missing statement stands for. */
export function more(absent: number): Judge<number | undefined> {
  return (before, after) => ((after ?? absent) > (before ?? absent) ? 'minor' : 'major');
}

/** The less the better: a load, a time. */
export function less(absent: number): Judge<number | undefined> {
  return (before, after) => ((after ?? absent) < (before ?? absent) ? 'minor' : 'major');
}

/** Asks something of the site where it is true. */
export const demand: Judge<boolean> = (_before, after) => (after ? 'major' : 'minor');

/** Is good for the site where it is true. */
export const gift: Judge<boolean> = (_before, after) => (after ? 'minor' : 'major');

/** Parts of an object by judges of their own; a part that came or went as a whole is `fixed`. */
export function parts<Item extends object>(judges: Judges<Item>): Judge<Item | undefined> {
  return (before, after) => {
    if (before === undefined || after === undefined) {
      return 'major';
    }
    return heaviest(changesIn(judges, before, after).map(({ step }) => step)) ?? 'patch';
  };
}

export interface FieldChange {
  readonly field: string;
  readonly step: Step;
  readonly before: unknown;
  readonly after: unknown;
}

/** The fields that differ, in the order of the judges. */
export function changesIn<Item extends object>(
  judges: Judges<Item>,
  before: Item,
  after: Item,
): readonly FieldChange[] {
  return (Object.keys(judges) as (keyof Item & string)[]).flatMap((field) => {
    const judge = judges[field];
    const [old, now] = [before[field], after[field]];
    return judge === APART || isSame(old, now)
      ? []
      : [{ field, step: (judge as Judge<unknown>)(old, now), before: old, after: now }];
  });
}

export function isSame(one: unknown, other: unknown): boolean {
  return JSON.stringify(one) === JSON.stringify(other);
}

const weights: readonly Step[] = ['patch', 'minor', 'major'];

export function heaviest(steps: readonly Step[]): Step | undefined {
  return steps.reduce<Step | undefined>(
    (most, step) =>
      most === undefined || weights.indexOf(step) > weights.indexOf(most) ? step : most,
    undefined,
  );
}
