/** Every command of the command line, in the order of the job. */
import type { OptionSpec } from './arguments.js';
import type { Command } from './command.js';
import { texts } from './texts.js';
import { ciTexts } from './texts-ci.js';
import { onSiteTexts } from './texts-on-site.js';
import { diagnoseTexts } from './texts-diagnose.js';
import { recordTexts } from './texts-record.js';
import { reviewTexts } from './texts-review.js';
import { portfolioTexts } from './texts-portfolio.js';
import { sharingTexts } from './texts-sharing.js';

const on: OptionSpec = { name: 'on', value: 'DATE', about: texts.onAbout };
const color: OptionSpec = { name: 'color', about: texts.colorAbout };
const textOrJson: OptionSpec = {
  name: 'format',
  value: 'FORMAT',
  choices: ['text', 'json'],
  about: texts.formatAbout,
};

const failOn: OptionSpec = {
  name: 'fail-on',
  value: 'SEVERITY',
  choices: ['error', 'warning'],
  about: texts.failOnAbout,
};

export const commands: readonly Command[] = [
  {
    ...texts.check,
    name: 'check',
    options: [
      {
        name: 'format',
        value: 'FORMAT',
        choices: ['text', 'json', 'sarif', 'junit', 'github', 'gitlab'],
        about: ciTexts.formatAbout,
      },
      failOn,
      { name: 'since', value: 'REF', about: ciTexts.sinceAbout },
      { name: 'baseline', value: 'FILE', about: ciTexts.baselineAbout },
      { name: 'adopt', about: ciTexts.adoptAbout },
      on,
      { name: 'shard', value: 'I/N', about: portfolioTexts.shardAbout },
      color,
    ],
    load: () => import('./check.js'),
  },
  {
    ...portfolioTexts.mergeReports,
    name: 'merge-reports',
    options: [textOrJson, failOn],
    load: () => import('./merge-reports.js'),
  },
  {
    ...texts.facts,
    name: 'facts',
    options: [textOrJson, color],
    load: () => import('./facts.js'),
  },
  {
    ...texts.draw,
    name: 'draw',
    options: [
      {
        name: 'view',
        value: 'VIEW',
        choices: ['topology', 'terminals', 'power', 'ip'],
        about: texts.viewAbout,
      },
      { name: 'of', value: 'NAME', about: texts.ofAbout },
      { name: 'status', about: texts.statusAbout },
      { name: 'out', value: 'FILE', about: texts.drawOutAbout },
      {
        name: 'format',
        value: 'FORMAT',
        choices: ['svg', 'png'],
        about: texts.drawFormatAbout,
      },
      on,
    ],
    load: () => import('./draw.js'),
  },
  {
    ...texts.pack,
    name: 'pack',
    options: [
      { name: 'out', value: 'DIR', about: texts.packOutAbout },
      { name: 'phase', value: 'PHASE', choices: ['new', 'all'], about: texts.phaseAbout },
      on,
    ],
    load: () => import('./pack.js'),
  },
  {
    ...onSiteTexts.laptop,
    name: 'laptop',
    options: [{ name: 'network', value: 'NAME', about: onSiteTexts.networkAbout }, textOrJson],
    load: () => import('./laptop.js'),
  },
  {
    ...onSiteTexts.preflight,
    name: 'preflight',
    options: [
      textOrJson,
      { name: 'authority', value: 'FILE', about: onSiteTexts.authorityAbout },
      { name: 'timeout', value: 'SECONDS', about: onSiteTexts.timeoutAbout },
      { name: 'modbus', value: 'HOST', about: onSiteTexts.modbusAbout },
      { name: 'units', value: 'LIST', about: onSiteTexts.unitsAbout },
      { name: 'register', value: 'NUMBER', about: onSiteTexts.registerAbout },
      { name: 'consent', value: 'WHAT', choices: ['poll'], about: onSiteTexts.consentAbout },
      { name: 'record', value: 'FILE', about: onSiteTexts.recordToAbout },
    ],
    load: () => import('./preflight.js'),
  },
  {
    ...recordTexts.record,
    name: 'record',
    options: [
      { name: 'out', value: 'FILE', about: recordTexts.outAbout },
      { name: 'on', value: 'DATE', about: recordTexts.onAbout },
      { name: 'partly', about: recordTexts.partlyAbout },
    ],
    load: () => import('./record.js'),
  },
  {
    ...diagnoseTexts.diagnose,
    name: 'diagnose',
    options: [{ name: 'seen', value: 'LINES', about: diagnoseTexts.seenAbout }, textOrJson],
    load: () => import('./diagnose.js'),
  },
  {
    ...reviewTexts.diff,
    name: 'diff',
    options: [
      {
        name: 'format',
        value: 'FORMAT',
        choices: ['text', 'markdown', 'summary', 'json'],
        about: reviewTexts.formatAbout,
      },
      { name: 'exit-code', about: reviewTexts.exitCodeAbout },
      { name: 'out', value: 'FILE', about: reviewTexts.outAbout },
      on,
    ],
    load: () => import('./diff.js'),
  },
  {
    ...texts.explain,
    name: 'explain',
    options: [color],
    load: () => import('./explain.js'),
  },
  {
    ...texts.format,
    name: 'format',
    options: [{ name: 'check', about: texts.formatCheckAbout }],
    load: () => import('./format.js'),
  },
  {
    ...sharingTexts.init,
    name: 'init',
    options: [],
    load: () => import('./init.js'),
  },
  {
    ...sharingTexts.vendor,
    name: 'vendor',
    options: [{ name: 'check', about: sharingTexts.vendorCheckAbout }],
    load: () => import('./vendor.js'),
  },
  {
    ...sharingTexts.docs,
    name: 'docs',
    options: [{ name: 'out', value: 'DIR', about: sharingTexts.docsOutAbout }],
    load: () => import('./docs.js'),
  },
  {
    ...sharingTexts.release,
    name: 'release',
    options: [{ name: 'check', about: sharingTexts.releaseCheckAbout }, textOrJson],
    load: () => import('./release.js'),
  },
  {
    ...sharingTexts.outdated,
    name: 'outdated',
    options: [{ name: 'impact', about: sharingTexts.impactAbout }, textOrJson, on],
    load: () => import('./outdated.js'),
  },
];
