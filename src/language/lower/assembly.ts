/** Assemblies: their parts are read like declarations, with names that are their own. */
import type { Assembly, AssemblyPart, Exposure, ParameterValue } from '../../model/records.js';
import type * as ast from '../generated/ast.js';
import { lowerDevice, lowerIsolator } from './places.js';
import { defined, Reader } from './reader.js';
import { lowerBus, lowerFeed } from './runs.js';
import { reportTwice } from './templates.js';

export function lowerAssembly(reader: Reader, block: ast.AssemblyBlock): Assembly {
  const parameters = lowerParameters(reader, block);
  const known = new Map(parameters.map((one) => [one.name, one]));
  const parts: AssemblyPart[] = [];
  const exposes: Exposure[] = [];
  const names: { readonly name: string; readonly node: ast.AssemblyPart }[] = [];
  for (const node of block.parts) {
    if (node.name === undefined || node.name === '') {
      continue;
    }
    const { name } = node;
    names.push({ name, node });
    if (node.$type === 'ParameterLine') {
      continue;
    }
    if (node.$type === 'ExposeLine') {
      const inner = new Reader(known);
      const target = inner.member(node.target, ['device'], exposable, 'FC.field');
      inner.mark('name', node, 'name');
      inner.mark('', node);
      reader.include(name, block.name, inner);
      if (target !== undefined) {
        exposes.push({ name, path: [...target.owner.split('.'), target.member] });
      }
      continue;
    }
    const inner = new Reader(known);
    const part = lowerPart(inner, node);
    inner.mark('', node);
    inner.mark('name', node, 'name');
    reader.include(name, block.name, inner);
    if (part !== undefined) {
      parts.push(part);
    }
  }
  reportTwice(
    reader,
    names.map(({ name }) => name),
    (index) => reader.span(names[index]!.node, 'name'),
  );
  return defined({
    kind: 'assembly' as const,
    name: block.name,
    ...reader.optionalText('title', block.title),
    parts,
    parameters,
    exposes,
  }) as Assembly;
}

const exposable = ['port', 'inlet', 'outlet', 'lan'] as const;

function lowerParameters(reader: Reader, block: ast.AssemblyBlock): ParameterValue[] {
  return block.parts.flatMap((line) => {
    if (line.$type !== 'ParameterLine' || line.name === undefined) {
      return [];
    }
    reader.mark(`part/${line.name}`, line);
    reader.mark(`part/${line.name}/name`, line, 'name');
    const value = reader.number(line, 'value', line.value, 'length');
    return value === undefined ? [] : [{ name: line.name, value, unit: 'm' as const }];
  });
}

function lowerPart(
  reader: Reader,
  node: ast.DeviceBlock | ast.BusBlock | ast.FeedBlock | ast.IsolatorLine,
): AssemblyPart | undefined {
  switch (node.$type) {
    case 'DeviceBlock':
      return lowerDevice(reader, node);
    case 'BusBlock':
      return lowerBus(reader, node);
    case 'FeedBlock':
      return lowerFeed(reader, node);
    case 'IsolatorLine':
      return lowerIsolator(reader, node);
  }
}
