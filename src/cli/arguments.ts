/** Reads the words after a command. What does not fit is one clear sentence, never a guess. */
import { parseArgs } from 'node:util';
import { nearNames } from '../workbench/near-names.js';
import { CannotRun } from './cannot-run.js';
import { texts } from './texts.js';

export interface OptionSpec {
  readonly name: string;
  /** What stands for the value in the help; left out for an option without one. */
  readonly value?: string;
  /** The values that there are; left out: any. */
  readonly choices?: readonly string[];
  readonly about: string;
}

export interface Arguments {
  readonly positionals: readonly string[];
  readonly values: ReadonlyMap<string, string>;
  readonly flags: ReadonlySet<string>;
}

/** Reads the words after a command's name. */
export function readArguments(
  args: readonly string[],
  command: { readonly name: string; readonly options: readonly OptionSpec[] },
): Arguments {
  const known = new Map([...command.options, helpOption].map((option) => [option.name, option]));
  const { tokens } = parseArgs({
    args: [...args],
    strict: false,
    tokens: true,
    allowPositionals: true,
    options: Object.fromEntries(
      [...known.values()].map((option) => [
        option.name,
        { type: option.value === undefined ? 'boolean' : 'string' } as const,
      ]),
    ),
  });
  const positionals: string[] = [];
  const values = new Map<string, string>();
  const flags = new Set<string>();
  for (const token of tokens) {
    if (token.kind === 'positional') {
      positionals.push(token.value);
    } else if (token.kind === 'option') {
      const option = token.rawName === '-h' ? helpOption : known.get(token.name);
      if (option === undefined || (!token.rawName.startsWith('--') && token.rawName !== '-h')) {
        const near = nearNames(token.name, known.keys(), 1)[0];
        throw new CannotRun(texts.unknownOption(token.rawName, command.name, near));
      }
      if (option.value === undefined) {
        if (token.value !== undefined) {
          throw new CannotRun(texts.needlessValue(option.name));
        }
        flags.add(option.name);
      } else {
        values.set(option.name, checkedValue(option, token.value, token.inlineValue));
      }
    }
  }
  return { positionals, values, flags };
}

/** The day that `--on` names, or today. */
export function dayIn(args: Arguments, today: string): string {
  const text = args.values.get('on');
  if (text === undefined) {
    return today;
  }
  if (!/^\d{4}-\d{2}-\d{2}$/u.test(text) || !isDay(text)) {
    throw new CannotRun(texts.noDate(text));
  }
  return text;
}

export const helpOption: OptionSpec = { name: 'help', about: texts.helpAbout };

/** False for the 30th of February: the calendar gives another day back. */
function isDay(text: string): boolean {
  const day = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(day.getTime()) && day.toISOString().startsWith(text);
}

function checkedValue(
  option: OptionSpec,
  value: string | undefined,
  isInline: boolean | undefined,
): string {
  if (value === undefined || value === '' || (isInline !== true && value.startsWith('-'))) {
    throw new CannotRun(texts.missingValue(option.name, option.value!));
  }
  if (option.choices !== undefined && !option.choices.includes(value)) {
    throw new CannotRun(texts.unknownChoice(option.name, value, option.choices));
  }
  return value;
}
