/** A fix that would bring a new error is not offered, and trying it leaves no trace. */
import { describe, expect, it } from 'vitest';
import { writtenFixes } from '../../src/workbench/fixes.js';
import { memoryFiles } from '../../src/workbench/files.js';
import { triedFixes } from '../../src/workbench/tried-fixes.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { testDay } from '../support/site.js';

/** Two panels ask for power on a bus that has enough for one. */
const site = `site S

bustype Wall {
  conductors 2
  shape chain
  drops 8
  controllers 4
  power 15 VDC
}

equipment Unit {
  role indoor-unit
  port room : Wall terminals W1, W2 as responder { gives 15 VDC up to 25 mA }
}

equipment Panel {
  role room-controller
  port link : Wall terminals W1, W2 as controller { takes 20 mA }
  supervises indoor-unit via link up to 4
}

device IU-1 : Unit

device RC-1 : Panel

device RC-2 : Panel

bus wall-1 : Wall {
  land IU-1.room
  land RC-1.link 5 m
}
`;

describe('fixes that are tried', () => {
  const root = 'site.ferrule';
  const open = () => {
    const workbench = new Workbench(memoryFiles({ [root]: site }));
    return { workbench, checked: workbench.check(root, testDay)! };
  };
  const unlanded = (checked: ReturnType<typeof open>['checked']) =>
    checked.findings.find(({ finding }) => finding.rule === 'port-unlanded')!.finding;

  it('are left out where the bus would have too little power', () => {
    const { workbench, checked } = open();
    const finding = unlanded(checked);
    const all = writtenFixes(checked.open, finding).map(({ title }) => title);
    const offered = triedFixes(workbench, root, checked, finding).map(({ title }) => title);
    expect(all).toContain('Land RC-2.link on wall-1');
    expect(offered).not.toContain('Land RC-2.link on wall-1');
  });

  it('leave texts, findings and the open site as they were', () => {
    const { workbench, checked } = open();
    const before = checked.findings.map(({ finding, at }) => ({ finding, at }));
    triedFixes(workbench, root, checked, unlanded(checked));
    expect(workbench.read(root)).toEqual({ kind: 'text', text: site });
    const again = workbench.check(root, testDay)!;
    expect(again.findings.map(({ finding, at }) => ({ finding, at }))).toEqual(before);
    expect(checked.open.site.buses.get('wall-1')!.landings.length).toBe(2);
  });

  it('keep what an editor has open', () => {
    const { workbench } = open();
    const edited = site.replace('up to 25 mA', 'up to 60 mA');
    workbench.setText(root, edited);
    const checked = workbench.check(root, testDay)!;
    const offered = triedFixes(workbench, root, checked, unlanded(checked));
    expect(offered.map(({ title }) => title)).toContain('Land RC-2.link on wall-1');
    expect(workbench.read(root)).toEqual({ kind: 'text', text: edited });
  });
});
