/** `ferrule laptop`: whether the address of this computer fits a site. Changes nothing. */
import { ownAddresses } from '../probe/own-addresses.js';
import { jsonText, schemaVersion } from '../report/json.js';
import { neutralised } from '../report/neutral.js';
import { laptopAdvice, networkNames } from '../workbench/laptop-advice.js';
import type { LaptopAdvice, LaptopVerdict } from '../workbench/laptop-advice.js';
import { nearNames } from '../workbench/near-names.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import { openOneSite, pathIn } from './places.js';
import { onSiteTexts as texts } from './texts-on-site.js';

export const run: Run = (host, args) => {
  const { open } = openOneSite(host, pathIn(args, texts.laptop));
  const names = networkNames(open);
  const only = args.values.get('network');
  if (only !== undefined && !names.includes(only)) {
    throw new CannotRun(texts.unknownNetwork(only, nearNames(only, names)));
  }
  const advice = laptopAdvice(open, ownAddresses(), only);
  host.print(
    args.values.get('format') === 'json'
      ? jsonText({ schemaVersion, networks: advice.map(jsonOf) })
      : advice.length === 0
        ? texts.laptopNoNetworks
        : advice.map(adviceText).join('\n'),
  );
  return advice.every(({ fits }) => fits) ? 0 : 1;
};

/** One network as text, with the commands where something has to be set. */
export function adviceText(advice: LaptopAdvice): string {
  if (advice.subnet === undefined) {
    return `${texts.noSubnet(advice.network)}\n`;
  }
  const lines = [
    texts.networkTitle(advice.network, advice.subnet),
    ...(advice.own.length === 0 ? [`  ${texts.noInterface}`] : []),
    ...advice.own.map(
      ({ name, cidr, verdict }) =>
        `  ${texts.interfaceLine(neutralised(name), cidr, verdictText(verdict))}`,
    ),
  ];
  if (advice.fits) {
    return `${[...lines, `  ${texts.nothingToSet}`].join('\n')}\n`;
  }
  if (advice.set === undefined) {
    return `${[...lines, `  ${texts.noneFree}`].join('\n')}\n`;
  }
  const { about, commands, back } = advice.set;
  return `${[
    ...lines,
    ...about.map((line) => `  ${line}`),
    ...commands.flatMap(({ label, lines: typed }) => [
      `  ${label}`,
      ...typed.map((line) => `    ${line}`),
    ]),
    `  ${back}`,
  ].join('\n')}\n`;
}

function verdictText(verdict: LaptopVerdict): string {
  switch (verdict.kind) {
    case 'taken':
      return texts.verdicts.taken(verdict.by);
    case 'mask-differs':
      return texts.verdicts['mask-differs'](verdict.mask);
    default:
      return texts.verdicts[verdict.kind];
  }
}

function jsonOf({ network, subnet, own, fits, set }: LaptopAdvice) {
  return {
    network,
    subnet: subnet ?? null,
    fits,
    interfaces: own.map(({ name, cidr, verdict }) => ({
      name,
      address: cidr,
      verdict: verdict.kind,
      by: verdict.kind === 'taken' ? verdict.by : null,
    })),
    set: set === undefined ? null : { address: set.address, mask: set.mask, stated: set.stated },
  };
}
