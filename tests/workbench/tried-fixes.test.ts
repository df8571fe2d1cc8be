/** A fix that would bring a new error is not offered, and trying it leaves no trace. */
import { describe, expect, it } from 'vitest';
import { writtenFixes } from '../../src/workbench/fixes.js';
import { memoryFiles } from '../../src/workbench/files.js';
import { triedFixes } from '../../src/workbench/tried-fixes.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { testDay } from '../support/site.js';

/** A round over two units takes longer than the bus type allows. */
const site = `site S

bustype Field {
  conductors 2
  shape chain
  drops 8
  signal rs485 { rate 9600 baud  unit-loads 32 }
  scan within 50 ms
}

equipment Unit {
  role other
  port field : Field terminals CA, CB as responder { poll 8 bytes reply 26 bytes }
}

equipment Panel {
  role other
  port field : Field terminals CA, CB as controller
}

device U-1 : Unit

device U-2 : Unit

device P-1 : Panel

bus field-1 : Field {
  land P-1.field terminated
  land U-1.field 5 m terminated
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

  it('are left out where a round over the bus would take too long', () => {
    const { workbench, checked } = open();
    const finding = unlanded(checked);
    const all = writtenFixes(checked.open, finding).map(({ title }) => title);
    const offered = triedFixes(workbench, root, checked, finding).map(({ title }) => title);
    expect(all).toContain('Land U-2.field on field-1');
    expect(offered).not.toContain('Land U-2.field on field-1');
  });

  it('leave texts, findings and the open site as they were', () => {
    const { workbench, checked } = open();
    const before = checked.findings.map(({ finding, at }) => ({ finding, at }));
    triedFixes(workbench, root, checked, unlanded(checked));
    expect(workbench.read(root)).toEqual({ kind: 'text', text: site });
    const again = workbench.check(root, testDay)!;
    expect(again.findings.map(({ finding, at }) => ({ finding, at }))).toEqual(before);
    expect(checked.open.site.buses.get('field-1')!.landings.length).toBe(2);
  });

  it('keep what an editor has open', () => {
    const { workbench } = open();
    const edited = site.replace('within 50 ms', 'within 500 ms');
    workbench.setText(root, edited);
    const checked = workbench.check(root, testDay)!;
    const offered = triedFixes(workbench, root, checked, unlanded(checked));
    expect(offered.map(({ title }) => title)).toContain('Land U-2.field on field-1');
    expect(workbench.read(root)).toEqual({ kind: 'text', text: edited });
  });
});
