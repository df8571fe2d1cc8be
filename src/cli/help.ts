/** The help texts, built from the commands' own words. */
import { helpOption } from './arguments.js';
import type { OptionSpec } from './arguments.js';
import type { Command } from './command.js';
import { commands } from './commands.js';
import { texts } from './texts.js';

export function overview(): string {
  const width = Math.max(...commands.map(({ name }) => name.length));
  return lines([
    texts.purpose,
    '',
    texts.usageTitle,
    ...commands.map(({ usage }) => `  ${texts.name} ${usage}`),
    '',
    texts.commandsTitle,
    ...commands.map(({ name, summary }) => `  ${name.padEnd(width)}  ${summary}`),
    '',
    texts.optionsTitle,
    `  --help     ${texts.helpAbout}`,
    `  --version  ${texts.versionAbout}`,
    '',
    texts.moreHelp,
    texts.exitCodes,
    '',
    ...texts.caution,
  ]);
}

export function commandHelp(command: Command): string {
  const options = [...command.options, helpOption];
  const width = Math.max(...options.map((option) => optionText(option).length));
  return lines([
    command.summary,
    '',
    texts.usageTitle,
    `  ${texts.name} ${command.usage}`,
    '',
    ...command.about,
    '',
    texts.optionsTitle,
    ...options.map((option) => `  ${optionText(option).padEnd(width)}  ${option.about}`),
    '',
    texts.exitCodes,
  ]);
}

function optionText({ name, value }: OptionSpec): string {
  return value === undefined ? `--${name}` : `--${name} ${value}`;
}

function lines(all: readonly string[]): string {
  return `${all.join('\n')}\n`;
}
