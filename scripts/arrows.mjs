/**
 * Which part of src/ may import which: the one table behind the lint rules, the picture in
 * DEVELOPERS.md and tests/layers.test.ts.
 *
 * @typedef {object} Arrow
 * @property {string} from A folder of src/, or one file of it, which then may import more than its folder.
 * @property {string[]} to Folders of src/, or single files, that `from` may import.
 * @property {string[]} [libraries] Packages that `from` may import, subpaths included; left out: none.
 * @property {true} [typesOnly] Only `import type` across these arrows.
 * @property {string} why What the arrow protects; it ends the lint message.
 */

/** @type {Arrow[]} */
export const arrows = [
  {
    from: 'model',
    to: [],
    why: 'The model is plain data that every other part shares, so it knows none of them.',
  },
  {
    from: 'analysis',
    to: ['model'],
    why: 'A computation is a function of the model alone, so that it can be memoised and compared.',
  },
  {
    from: 'rules',
    to: ['analysis', 'model'],
    why: 'A rule judges computed values; it neither reads text nor draws.',
  },
  {
    from: 'drawing',
    to: ['analysis', 'model'],
    why: 'A drawing shows the model and computed values; findings reach it as values.',
  },
  {
    from: 'documents',
    to: ['drawing', 'analysis', 'model'],
    why: 'A document is a value made from the model, its computed values and its drawings.',
  },
  {
    from: 'review',
    to: ['documents', 'drawing', 'analysis', 'model'],
    why: 'A review compares two models and says what follows; where they came from is not its matter.',
  },
  {
    from: 'report',
    to: ['model'],
    why: 'A report prints findings, which are values of the model.',
  },
  {
    from: 'language',
    to: ['model', 'analysis'],
    libraries: ['langium', 'chevrotain', 'vscode-uri', 'vscode-languageserver'],
    why: 'The language turns text into the model and model edits into text.',
  },
  {
    from: 'language/validate.ts',
    to: ['rules'],
    why: 'validate.ts is the only bridge from the language to the rules.',
  },
  {
    from: 'packages',
    to: ['model'],
    libraries: ['@noble/hashes', 'semver'],
    why: 'Packages are resolved over the Files interface, whatever stores them.',
  },
  {
    from: 'workbench',
    to: [
      'language',
      'packages',
      'review',
      'report',
      'documents',
      'drawing',
      'rules',
      'analysis',
      'model',
    ],
    libraries: ['langium', 'vscode-uri', 'vscode-languageserver'],
    why: 'The workbench is the façade over everything pure.',
  },
  {
    from: 'disk',
    to: ['workbench'],
    libraries: ['node:'],
    why: 'The files of this computer, as the workbench sees files; the doors that run on Node share it.',
  },
  {
    from: 'probe',
    to: ['model'],
    libraries: ['node:'],
    why: 'A probe talks to this computer and its network; it gets plain data and gives plain data.',
  },
  {
    from: 'git',
    to: ['model'],
    libraries: ['node:'],
    why: 'Revisions are read as files; what stands in them is the matter of the workbench.',
  },
  {
    from: 'print',
    to: ['documents', 'drawing', 'model'],
    libraries: ['pdfkit', 'write-excel-file', 'fflate', '@resvg/resvg-wasm', 'node:'],
    why: 'The pack as PDF and workbook: heavy libraries that nothing else loads.',
  },
  {
    from: 'sheets',
    to: [],
    libraries: ['papaparse', 'read-excel-file', 'node:'],
    why: 'Filled-in sheets as grids of text: what stands in them is the matter of the workbench.',
  },
  {
    from: 'server',
    to: ['workbench', 'language', 'report'],
    libraries: [
      'langium',
      'vscode-uri',
      'vscode-languageserver',
      'vscode-languageserver-textdocument',
    ],
    why: 'The server is a door: it asks the workbench and the language and computes nothing itself.',
  },
  {
    from: 'server/main.node.ts',
    to: ['disk', 'probe', 'git'],
    libraries: ['node:'],
    why: 'Only the Node entry of the server knows its host.',
  },
  {
    from: 'cli',
    to: ['workbench', 'language', 'report', 'disk', 'print', 'sheets', 'probe', 'git'],
    libraries: ['node:', 'langium'],
    why: 'The command line is a door: it asks the workbench, writes files and sets exit codes.',
  },
  {
    from: 'extension',
    to: ['server/protocol.ts'],
    libraries: ['node:', 'vscode', 'vscode-languageclient'],
    typesOnly: true,
    why: 'The extension speaks the language server protocol at run time and shares only its types.',
  },
];

/** The folders of src/ that run the same in Node, in a browser worker and in tests. */
export const pureFolders = [
  'model',
  'analysis',
  'rules',
  'drawing',
  'documents',
  'review',
  'report',
  'language',
  'packages',
  'workbench',
];

export const purityReason =
  'Everything from the workbench inwards is pure: no host, no clock, no chance and no locale, ' +
  'so that the same text gives the same bytes in Node, in a browser worker and in tests.';

/** Every folder of src/ that has an arrow, in the table's order. */
export const folders = arrows.map((arrow) => arrow.from).filter((place) => !place.includes('/'));

/**
 * The arrows that hold for a file: its folder's, and its own.
 * @param {string} file A path below src/ with `/`.
 */
export const arrowsOf = (file) =>
  arrows.filter((arrow) => arrow.from === file || file.startsWith(`${arrow.from}/`));
