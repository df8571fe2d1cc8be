import { readFileSync } from 'node:fs';
import path from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { arrows, arrowsOf, folders, pureFolders } from '../scripts/arrows.mjs';
import { inProject } from '../scripts/lib/root.mjs';
import { filesBelow } from './support/project-files.js';

interface Import {
  specifier: string;
  typeOnly: boolean;
}

describe('the table of arrows', () => {
  it('is the picture in DEVELOPERS.md', () => {
    const table = arrows.map(
      (arrow) =>
        `${arrow.from} -> ${arrow.to.join(', ') || 'nothing'}${arrow.typesOnly ? ' (types only)' : ''}`,
    );
    expect(picture()).toEqual(table);
  });

  it('has no cycle between folders', () => {
    const inner = new Set<string>();
    const left = new Set(folders);
    while (left.size > 0) {
      const next = [...left].filter((folder) => reachable(folder).every((to) => inner.has(to)));
      expect(next, `each of ${[...left].join(', ')} waits for another`).not.toEqual([]);
      for (const folder of next) {
        inner.add(folder);
        left.delete(folder);
      }
    }
  });

  it('knows every folder of src', () => {
    const found = new Set(filesBelow('src').map((file) => file.split('/')[1]));
    expect([...found].filter((folder) => !folders.includes(folder ?? ''))).toEqual([]);
  });
});

describe('the imports of src', () => {
  const files = filesBelow('src').filter((file) => file.endsWith('.ts'));

  it('are found at all', () => {
    expect(files.flatMap(importsOf).length).toBeGreaterThan(20);
  });

  it('follow the arrows', () => {
    const wrong = files.flatMap((file) =>
      importsOf(file).flatMap((each) => {
        const complaint = complaintAbout(file.slice('src/'.length), each);
        return complaint === undefined ? [] : [`${file}: ${each.specifier}: ${complaint}`];
      }),
    );
    expect(wrong).toEqual([]);
  });

  it.each([
    ['model/site.ts', '../analysis/memo.js', false, 'no arrow'],
    ['model/site.ts', 'node:fs', false, 'library'],
    ['language/lower.ts', '../rules/index.js', false, 'no arrow'],
    ['language/validate.ts', '../rules/index.js', false, undefined],
    ['language/module.ts', 'langium', false, undefined],
    ['language/module.ts', 'langium/node', false, 'host'],
    ['server/features/hover.ts', '../../workbench/workbench.js', false, undefined],
    ['server/features/hover.ts', '../../model/site.js', false, 'no arrow'],
    ['extension/features/preview/panel.ts', '../../../server/protocol.js', true, undefined],
    ['extension/features/preview/panel.ts', '../../../server/protocol.js', false, 'types only'],
    ['extension/features/preview/panel.ts', '../../../server/main.node.js', true, 'no arrow'],
    ['extension/features/preview/panel.ts', '../review/panel.js', false, 'sibling'],
    ['model/site.ts', './quantity', false, 'ending'],
  ])('%s importing %s (type only: %s) gives: %s', (file, specifier, typeOnly, expected) => {
    const complaint = complaintAbout(file, { specifier, typeOnly });
    if (expected === undefined) {
      expect(complaint).toBeUndefined();
    } else {
      expect(complaint).toContain(expected);
    }
  });
});

function picture(): string[] {
  const text = readFileSync(inProject('DEVELOPERS.md'), 'utf8');
  const block = /^```arrows\n([\s\S]*?)^```$/m.exec(text)?.[1] ?? '';
  return block.split('\n').filter((line) => line !== '');
}

/** The other folders that a folder and its single files may import. */
function reachable(folder: string): string[] {
  return arrows
    .filter((arrow) => arrow.from.split('/')[0] === folder)
    .flatMap((arrow) => arrow.to.map((place) => place.split('/')[0] ?? place));
}

/** What is wrong with an import of a file (a path below src), if anything is. */
function complaintAbout(file: string, { specifier, typeOnly }: Import): string | undefined {
  const holding = arrowsOf(file);
  if (!specifier.startsWith('.')) {
    const libraries = holding.flatMap((arrow) => arrow.libraries ?? []);
    const pure = pureFolders.includes(file.split('/')[0] ?? '');
    if (pure && /^(langium|vscode-languageserver)\/node/.test(specifier)) {
      return 'a library for one host';
    }
    return libraries.some((name) => belongsTo(specifier, name)) ? undefined : 'no such library';
  }
  if (!specifier.endsWith('.js') && !specifier.endsWith('.css')) {
    return 'a relative import without its ending';
  }
  const target = path.posix.join(path.posix.dirname(file), specifier).replace(/\.js$/, '.ts');
  const [own, , feature] = file.split('/');
  const [folder, , otherFeature] = target.split('/');
  if (folder === own) {
    const bothFeatures =
      /^extension\/features\/[^/]+\//.test(file) && /^extension\/features\/[^/]+\//.test(target);
    return bothFeatures && feature !== otherFeature ? 'a sibling feature' : undefined;
  }
  const arrow = holding.find((each) => each.to.includes(folder ?? '') || each.to.includes(target));
  if (arrow === undefined) {
    return `no arrow from ${own} to ${target}`;
  }
  return arrow.typesOnly === true && !typeOnly ? 'types only' : undefined;
}

function belongsTo(specifier: string, library: string): boolean {
  if (library.endsWith(':')) {
    return specifier.startsWith(library);
  }
  const name = specifier
    .replace(/^(@[^/]+\/[^/]+|[^@/][^/]*)\/.*$/, '$1')
    .replace(/-(types|protocol)$/, '');
  return name === library;
}

/** Every import and re-export of a file, dynamic ones included. */
function importsOf(file: string): Import[] {
  const text = readFileSync(inProject(file), 'utf8');
  const source = ts.createSourceFile(file, text, ts.ScriptTarget.ES2022);
  const found: Import[] = [];
  const visit = (node: ts.Node): void => {
    if (
      (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) &&
      node.moduleSpecifier !== undefined &&
      ts.isStringLiteral(node.moduleSpecifier)
    ) {
      found.push({ specifier: node.moduleSpecifier.text, typeOnly: isTypeOnly(node) });
    } else if (
      ts.isCallExpression(node) &&
      node.expression.kind === ts.SyntaxKind.ImportKeyword &&
      node.arguments[0] !== undefined &&
      ts.isStringLiteral(node.arguments[0])
    ) {
      found.push({ specifier: node.arguments[0].text, typeOnly: false });
    } else if (
      ts.isImportTypeNode(node) &&
      ts.isLiteralTypeNode(node.argument) &&
      ts.isStringLiteral(node.argument.literal)
    ) {
      found.push({ specifier: node.argument.literal.text, typeOnly: true });
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

function isTypeOnly(node: ts.ImportDeclaration | ts.ExportDeclaration): boolean {
  if (ts.isExportDeclaration(node)) {
    return node.isTypeOnly;
  }
  return node.importClause?.phaseModifier === ts.SyntaxKind.TypeKeyword;
}
