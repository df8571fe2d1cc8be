/** Labels and terminal test sheets: complete, and the same texts as in the schedules. */
import { describe, expect, it } from 'vitest';
import { cablesOfSite } from '../../src/analysis/cabling/cables.js';
import { coresOf } from '../../src/analysis/cabling/cores.js';
import { tablesOf } from '../../src/documents/document.js';
import { designationOf, terminalDesignation } from '../../src/documents/labels/designation.js';
import { labels, wireLabels } from '../../src/documents/labels/labels.js';
import { connectionSchedule } from '../../src/documents/schedule/connection-schedule.js';
import { terminalRows } from '../../src/documents/testing/terminal-rows.js';
import { brokenFolder, checkedExample, examples } from '../support/examples.js';
import { siteOf } from '../support/site.js';
import { libraryText } from './library.js';

describe('designations', () => {
  const { site } = siteOf(libraryText);
  const room = site.rooms.get('Roof.Plant')!;

  it.each([
    ['OU1', '+Roof.Plant-OU1'],
    ['OU-1', '+Roof.Plant-OU-1'],
    ['Box.K1', '+Roof.Plant-Box-K1'],
    ['7', '+Roof.Plant-7'],
    ['1a', undefined],
    ['Gerät', undefined],
  ])('of %s are %s', (name, expected) => {
    expect(designationOf(name, room)).toBe(expected);
  });

  it('leave a place out that nobody stated', () => {
    expect(designationOf('OU1', undefined)).toBe('-OU1');
    expect(terminalDesignation('OU1', 'field', 'CA', undefined)).toBe('-OU1-field:CA');
  });

  it('have a terminal at the end only (IEC 81346-1)', () => {
    expect(terminalDesignation('OU1', 'field', 'C:A', undefined)).toBeUndefined();
  });
});

describe.each(examples())('the labels of $name', (example) => {
  const { site } = checkedExample(example).open;

  it('are those of the connection schedule, each end once', () => {
    const rows = tablesOf(connectionSchedule(site, 'all', () => ''))
      .filter(({ name }) => name === 'connection-schedule')
      .flatMap((table) => {
        const at = (heading: string) =>
          table.columns.findIndex((column) => column.heading === heading);
        return table.rows
          .filter((row) => row[at('core')] !== 'screen' && row[at('core')] !== 'not stated')
          .flatMap((row) => [row[at('label at from')], row[at('label at to')]]);
      });
    const texts = wireLabels(site, 'all').map(({ text }) => text);
    expect(texts.length > 0 || example.name.startsWith(`${brokenFolder}/`)).toBe(true);
    expect([...texts].sort()).toEqual([...rows].sort());
  });

  it('leave out what is existing in the new phase', () => {
    const texts = new Set(wireLabels(site, 'new').map(({ cable }) => cable.existing));
    expect(texts.has(true)).toBe(false);
    const devices = tablesOf(labels(site, 'new')).find(({ name }) => name === 'labels-devices');
    expect(devices?.rows.length ?? 0).toBe(
      [...site.devices.values()].filter((device) => !device.existing).length,
    );
  });

  it('stand beside a test of every terminal that holds a core', () => {
    const used = new Set(
      cablesOfSite(site).flatMap((cable) =>
        coresOf(site, cable).flatMap((core) => [
          ...(core.fromTerminal === undefined
            ? []
            : [`${cable.from.owner}.${cable.from.member}:${core.fromTerminal}`]),
          ...(core.toTerminal === undefined
            ? []
            : [`${cable.to.owner}.${cable.to.member}:${core.toTerminal}`]),
        ]),
      ),
    );
    const tested = [...terminalRows(site).values()]
      .flat()
      .map(({ end, terminal }) => `${end.owner}.${end.member}:${terminal}`);
    expect(new Set(tested).size).toBe(tested.length);
    expect([...tested].sort()).toEqual([...used].sort());
  });
});
