// The arrows and the purity of src/ as ESLint configuration, made from the table in arrows.mjs.
import { arrows, arrowsOf, folders, pureFolders, purityReason } from './arrows.mjs';

/** @returns {import('eslint').Linter.Config[]} */
export function arrowLint() {
  return [...arrows.map(importsOf), purity()];
}

/**
 * ESLint takes the last matching entry, so the entry of a single file repeats its folder's arrows.
 * @param {import('./arrows.mjs').Arrow} arrow
 * @returns {import('eslint').Linter.Config}
 */
function importsOf(arrow) {
  const isFile = arrow.from.includes('/');
  const holding = arrowsOf(arrow.from);
  const allowed = holding.flatMap((each) => each.to);
  const libraries = holding.flatMap((each) => each.libraries ?? []);
  const own = arrow.from.split('/')[0];
  const reached = allowed.length === 0 ? 'nothing' : allowed.join(', ');
  const message = `src/${arrow.from} may import ${reached} (scripts/arrows.mjs). ${arrow.why}`;
  const closed = folders.filter((folder) => folder !== own && !allowed.includes(folder));
  const openFiles = allowed.filter((place) => place.includes('/')).map(asModule);
  const patterns = [
    {
      regex: `^(\\.\\./)+(?!(${openFiles.join('|') || 'none'})$)(${closed.join('|')})/`,
      message,
    },
    {
      regex: `^(?!\\.)(?!(${libraries.map(asLibrary).join('|') || 'none$'}))`,
      message: `src/${arrow.from} may use ${libraries.join(', ') || 'no library'} (scripts/arrows.mjs). ${arrow.why}`,
    },
    ...(arrow.typesOnly
      ? [{ regex: `^(\\.\\./)+(${openFiles.join('|')})$`, message, allowTypeImports: true }]
      : []),
    ...(libraries.includes('node:')
      ? []
      : [{ regex: '^(langium|vscode-languageserver)/node', message: purityReason }]),
  ];
  return {
    files: [isFile ? `src/${arrow.from}` : `src/${arrow.from}/**/*.ts`],
    rules: { 'no-restricted-imports': ['error', { patterns }] },
  };
}

/** @returns {import('eslint').Linter.Config} */
function purity() {
  const globals = [
    ...['process', 'Buffer', 'require', '__dirname', '__filename', 'console', 'performance'],
    ...['fetch', 'crypto', 'setTimeout', 'setInterval', 'setImmediate', 'Intl'],
    ...['window', 'document', 'navigator', 'location', 'localStorage', 'self'],
  ];
  const selectors = [
    "MemberExpression[object.name='Date'][property.name='now']",
    "NewExpression[callee.name='Date'][arguments.length=0]",
    "CallExpression[callee.name='Date']",
    "MemberExpression[object.name='Math'][property.name='random']",
    'MemberExpression[property.name=/^(localeCompare|toLocale.*)$/]',
    "MemberExpression[object.name='globalThis']",
    "MetaProperty[meta.name='import']",
  ];
  return {
    files: pureFolders.map((folder) => `src/${folder}/**/*.ts`),
    rules: {
      'no-restricted-globals': [
        'error',
        ...globals.map((name) => ({ name, message: purityReason })),
      ],
      'no-restricted-syntax': [
        'error',
        ...selectors.map((selector) => ({ selector, message: purityReason })),
      ],
    },
  };
}

/** @param {string} file */
const asModule = (file) => file.replace(/\.ts$/, '.js').replaceAll('.', '\\.');

/** `node:` opens every module of Node; a package's name opens it and its subpaths. @param {string} name */
const asLibrary = (name) => (name.endsWith(':') ? name : `${name}(-types|-protocol)?($|/)`);
