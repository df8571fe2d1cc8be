/** The edit that divides a containment: it parses, and a canonical text stays canonical. */
import { describe, expect, it } from 'vitest';
import { formatText } from '../../src/language/format.js';
import { applyChanges, writeEdits } from '../../src/language/write.js';
import { siteText } from '../../src/workbench/fixes.js';
import { siteOf } from '../support/site.js';

/** The text after the edit; the same where nothing is written. */
function divided(text: string): string {
  const { open } = siteOf(text);
  return applyChanges(
    text,
    writeEdits(siteText(open), [{ kind: 'divide-containment', containment: 'Tray-1' }]),
  );
}

describe('the edit that divides a containment', () => {
  for (const [header, expected] of [
    ['containment Tray-1 {', 'containment Tray-1 divided {'],
    ['containment Tray-1 "By { the } riser" {', 'containment Tray-1 "By { the } riser" divided {'],
    ['containment Tray-1 divided {', 'containment Tray-1 divided {'],
  ] as const) {
    it(`makes ${expected} of ${header}`, () => {
      const text = `board DB { way W1 230 VAC 6 A }\n\n${header}\n  carries DB.W1\n}\n`;
      expect(formatText(text)).toEqual({ kind: 'formatted', text });
      const after = divided(text);
      expect(after).toBe(text.replace(header, expected));
      expect(formatText(after)).toEqual({ kind: 'formatted', text: after });
      expect(siteOf(after).site.containments.get('Tray-1')).toMatchObject({ divided: true });
    });
  }

  it('leaves a text of another hand as it is, line ends included', () => {
    const text = 'board DB { way W1 230 VAC 6 A }\r\ncontainment   Tray-1{ carries   DB.W1 }\r\n';
    const after = divided(text);
    expect(after).toBe(text.replace('Tray-1', 'Tray-1 divided'));
    expect(siteOf(after).site.containments.get('Tray-1')?.divided).toBe(true);
  });

  it('writes nothing about a containment that is not there', () => {
    const text = 'board DB { way W1 230 VAC 6 A }\n';
    expect(divided(text)).toBe(text);
  });
});
