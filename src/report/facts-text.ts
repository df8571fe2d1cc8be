/** Computed values as text for a terminal: all of a site, or one with its working. */
import type { Fact } from '../model/finding.js';
import { formatNumber } from '../model/quantity.js';
import { columnsOf, neutralised, padded } from './neutral.js';
import type { Style } from './style.js';
import { texts } from './texts.js';

/** The facts in the given order under their subjects; consecutive facts of one subject share a heading. */
export function factsText(facts: readonly Fact[], style: Style): string {
  if (facts.length === 0) {
    return `${texts.noFacts}\n`;
  }
  const names = Math.max(...facts.map(({ fact }) => columnsOf(neutralised(fact))));
  const values = Math.min(24, Math.max(...facts.map((fact) => columnsOf(valueText(fact)))));
  const lines: string[] = [];
  facts.forEach((fact, index) => {
    if (fact.subject !== facts[index - 1]?.subject) {
      lines.push(...(index === 0 ? [] : ['']), style.strong(neutralised(fact.subject)));
    }
    const name = padded(neutralised(fact.fact), names);
    const value = padded(valueText(fact), values);
    lines.push(`  ${name}  ${value}  ${style.faint(remarksOf(fact))}`.trimEnd());
  });
  return `${lines.join('\n')}\n`;
}

/** One fact with its formula, its terms and its source. */
export function explainedFactText(fact: Fact, formula: string | undefined, style: Style): string {
  const name = neutralised(`${fact.subject}.${fact.fact}`);
  const remarks = [
    ...(fact.limit === undefined ? [] : [limitText(fact)]),
    ...(fact.margin === undefined ? [] : [marginText(fact.margin)]),
  ];
  const lines = [
    `${style.strong(name)} = ${valueText(fact)}${remarks.length > 0 ? `  (${remarks.join(', ')})` : ''}`,
    ...((fact.needs ?? '') === '' ? [] : [`  ${neutralised(texts.needs(fact.needs!))}`]),
    '',
    ...(formula === undefined ? [] : [`${texts.formula}  ${neutralised(formula)}`]),
    `${texts.basis}    ${fact.basis}`,
    ...(fact.source === undefined ? [] : [`${texts.source}   ${neutralised(fact.source)}`]),
  ];
  if (fact.terms.length > 0) {
    const names = Math.max(...fact.terms.map((term) => columnsOf(neutralised(term.name))));
    const values = Math.max(...fact.terms.map((term) => columnsOf(quantityText(term))));
    lines.push('', texts.terms);
    for (const term of fact.terms) {
      const value = padded(quantityText(term), values);
      lines.push(
        `  ${padded(neutralised(term.name), names)}  ${value}  ${style.faint(term.basis)}`.trimEnd(),
      );
    }
  }
  return `${lines.join('\n')}\n`;
}

function remarksOf(fact: Fact): string {
  return [
    ...(fact.limit === undefined ? [] : [limitText(fact)]),
    ...(fact.margin === undefined ? [] : [marginText(fact.margin)]),
    ...(fact.basis === 'computed' || fact.basis === 'unknown' ? [] : [fact.basis]),
    ...((fact.needs ?? '') === '' ? reasonsOf(fact) : [neutralised(texts.needs(fact.needs!))]),
  ].join(', ');
}

/** Why nobody can know a value, where no line of text would change that. */
function reasonsOf({ terms }: Fact): string[] {
  return terms
    .filter((term) => term.basis === 'unknown' && typeof term.value === 'string')
    .map((term) => neutralised(String(term.value)));
}

function valueText(fact: Fact): string {
  return fact.basis === 'unknown' && fact.value === null ? texts.unknown : quantityText(fact);
}

function quantityText({ value, unit }: Pick<Fact, 'value' | 'unit'>): string {
  if (value === null) {
    return texts.none;
  }
  if (typeof value === 'number') {
    return `${shortNumber(value)} ${unit}`.trim();
  }
  const words = typeof value === 'string' ? value : value.join(', ');
  return words === '' ? texts.none : neutralised(`${words} ${unit}`.trim());
}

/** Three decimals, or three significant digits where the number is small. */
function shortNumber(value: number): string {
  const small = value !== 0 && Math.abs(value) < 0.1;
  return formatNumber(value, small ? 2 - Math.floor(Math.log10(Math.abs(value))) : 3);
}

function limitText(fact: Fact): string {
  return texts.limit(`${shortNumber(fact.limit!)} ${fact.unit}`.trim());
}

function marginText(margin: number): string {
  return texts.margin(formatNumber(margin * 100, 1));
}
