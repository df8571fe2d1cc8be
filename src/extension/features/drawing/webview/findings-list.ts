import type { DrawnFinding } from '../../../../server/protocol.js';
import { element } from './elements.js';
import { texts } from './texts.js';

/** The findings as a list that opens, so that they can be read without seeing the picture. */
export class FindingsList {
  readonly root: HTMLDetailsElement;
  private readonly summary = element('summary', {});
  private readonly list = element('ol', {});
  private readonly open: (finding: DrawnFinding) => void;

  constructor(open: (finding: DrawnFinding) => void) {
    this.open = open;
    this.root = element('details', { class: 'findings' }, this.summary, this.list);
    this.show([]);
  }

  show(findings: readonly DrawnFinding[]): void {
    this.root.hidden = findings.length === 0;
    this.summary.textContent = texts.findings(findings.length);
    this.list.replaceChildren(...findings.map((finding) => this.item(finding)));
  }

  private item(finding: DrawnFinding): HTMLLIElement {
    const { number, severity, message, rule } = finding;
    const button = element(
      'button',
      { type: 'button', 'aria-label': texts.finding(number, severity, message) },
      element('span', { class: `number is-${severity}` }, String(number)),
      element('span', {}, message, ' ', element('span', { class: 'rule' }, rule)),
    );
    button.addEventListener('click', () => this.open(finding));
    return element('li', {}, button);
  }
}
