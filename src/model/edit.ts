import type { Place } from './origin.js';

/** Flags that a landing may carry. */
export type LandingFlag = 'terminated' | 'bonded' | 'covered' | 'existing';

/** A landing in its new place. */
export interface ReorderedLanding {
  /** Which landing it was. */
  readonly landing: number;
  /** The cable that leads to it in metres, where it is known; undefined for one to be measured. */
  readonly lengthM?: number;
  readonly terminated: boolean;
}

/**
 * What a fix does, said about the model. Only the language writes it as text.
 *
 * `run` is a bus's or a feed's name; `landing` counts the run's landings in text order from 0,
 * those in spurs included.
 */
export type ModelEdit =
  | {
      readonly kind: 'set-address';
      readonly device: string;
      readonly port?: string;
      readonly address: number;
    }
  | {
      readonly kind: 'add-landing';
      readonly run: string;
      readonly device: string;
      readonly port: string;
      readonly flags: readonly LandingFlag[];
    }
  | { readonly kind: 'remove-landing'; readonly run: string; readonly landing: number }
  | {
      readonly kind: 'move-landing';
      readonly run: string;
      readonly landing: number;
      readonly toRun: string;
    }
  /**
   * Puts the landings of a run without spurs in another order. Each gets the length stated here or
   * none, and a terminator or none; whatever else its line says stays with it.
   */
  | {
      readonly kind: 'reorder-landings';
      readonly run: string;
      readonly order: readonly ReorderedLanding[];
    }
  | {
      readonly kind: 'set-landing-flag';
      readonly run: string;
      readonly landing: number;
      readonly flag: LandingFlag;
    }
  | {
      readonly kind: 'clear-landing-flag';
      readonly run: string;
      readonly landing: number;
      readonly flag: LandingFlag;
    }
  | { readonly kind: 'set-run-cable'; readonly run: string; readonly cable: string }
  | {
      readonly kind: 'set-inlet-line';
      readonly device: string;
      readonly inlet: string;
      readonly from: string;
      readonly covered: boolean;
    }
  | { readonly kind: 'divide-containment'; readonly containment: string }
  | { readonly kind: 'cover-inlet-line'; readonly device: string; readonly line: number }
  | {
      readonly kind: 'set-host-address';
      readonly network: string;
      readonly host: number;
      readonly address: string;
    }
  | { readonly kind: 'set-laptop'; readonly network: string; readonly address: string }
  | {
      readonly kind: 'add-isolator';
      readonly name: string;
      readonly on: string;
      readonly room: string;
    }
  | {
      readonly kind: 'add-waiver';
      readonly rule: string;
      readonly subject: string;
      readonly upTo?: string;
      readonly because: string;
      readonly until: string;
    }
  | { readonly kind: 'add-use'; readonly usingDeclaration: string; readonly path: string }
  /** Replaces what stands at a place by a name, a quantity or a value of the same slot. */
  | { readonly kind: 'replace-value'; readonly at: Place; readonly text: string }
  /** Removes the statement or declaration at a place, its line included where it stands alone there. */
  | { readonly kind: 'remove-statement'; readonly at: Place };
