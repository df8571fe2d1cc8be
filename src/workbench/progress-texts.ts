/** What there is to look at on site, as a person would be told. */
import type { Task } from './progress.js';

/** `voltage at FC-1-01.mains`. */
export function taskText({ kind, subject, at }: Task): string {
  switch (kind) {
    case 'ohms':
      return `power off and proved dead, ohms of ${subject} at ${at}`;
    case 'idle':
      return `idle voltage of ${subject} at ${at}`;
    case 'voltage':
      return `voltage at ${at}`;
    case 'count':
      return `what ${subject} finds`;
    case 'unit':
      return `${subject} on its controllers`;
    case 'page':
      return `page of ${subject}, ${at}`;
  }
}
