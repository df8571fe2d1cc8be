/** Gives the property tests the seed of this run, as all other random tests have it. */
import { configureGlobal } from 'fast-check';
import { seedOfThisRun } from './random.js';

configureGlobal({ seed: seedOfThisRun() });
