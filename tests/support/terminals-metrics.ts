/** What can be measured on a finished terminals layout. */
import { grown, lineEntersRect, rectsOverlap } from '../../src/drawing/layout/geometry.js';
import { textRect } from '../../src/drawing/layout/planned.js';
import type { TerminalsPlan } from '../../src/drawing/layout/terminals/plan.js';

/** Texts on texts or out of the picture, strips on strips, cores through strips or texts, marks on texts. */
export function terminalsFaults(plan: TerminalsPlan): string[] {
  const faults: string[] = [];
  const texts = [
    ...plan.header,
    ...plan.rowNumbers,
    ...plan.strips.flatMap((strip) => strip.texts),
    ...plan.terminals.map((terminal) => terminal.name),
    ...plan.cores.flatMap((core) => (core.text ? [core.text] : [])),
    ...plan.cables.flatMap((cable) => cable.texts),
    ...plan.continuations.map((one) => one.text),
    ...plan.terminations.map((one) => one.text),
    ...plan.covers.map((one) => one.text),
    ...plan.legend.map((item) => item.text),
    ...plan.footerTexts,
    ...plan.findings.flatMap((finding) => finding.texts),
  ]
    .filter((text) => text.text !== '')
    .map((text) => ({ text: text.text, rect: grown(textRect(text), -0.3) }));
  texts.forEach((one, index) => {
    for (const other of texts.slice(index + 1)) {
      if (rectsOverlap(one.rect, other.rect)) faults.push(`"${one.text}" on "${other.text}"`);
    }
    const { x, y, width, height } = one.rect;
    if (x < 0 || y < 0 || x + width > plan.widthPx || y + height > plan.heightPx) {
      faults.push(`"${one.text}" out of the picture`);
    }
  });
  const boxes = plan.strips.map((strip) => grown(strip.rect, -0.5));
  boxes.forEach((one, index) => {
    for (const other of boxes.slice(index + 1)) if (rectsOverlap(one, other)) faults.push('strips');
  });
  for (const core of plan.cores) {
    for (let index = 1; index < core.points.length; index++) {
      const from = core.points[index - 1]!;
      const to = core.points[index]!;
      if (boxes.some((box) => lineEntersRect(from, to, box))) faults.push(`${core.id} in a strip`);
      for (const { text, rect } of texts) {
        if (lineEntersRect(from, to, rect)) faults.push(`${core.id} through "${text}"`);
      }
    }
  }
  for (const badge of plan.badges) {
    const { x, y } = badge.centre;
    const rect = { x: x - 7, y: y - 7, width: 14, height: 14 };
    for (const text of texts) {
      if (rectsOverlap(rect, text.rect)) faults.push(`finding ${badge.number} on "${text.text}"`);
    }
  }
  return faults;
}
