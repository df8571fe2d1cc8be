/** Medians, percentiles and tables. */

/** The value below which a share of the samples lies (nearest rank). */
export function percentile(samples: readonly number[], share: number): number {
  const sorted = [...samples].sort((one, other) => one - other);
  return sorted[Math.max(0, Math.ceil(share * sorted.length) - 1)] ?? Number.NaN;
}

export function median(samples: readonly number[]): number {
  return percentile(samples, 0.5);
}

/** Three significant digits, so that no table pretends to know more. */
export function shown(value: number): string {
  if (!Number.isFinite(value)) {
    return '–';
  }
  return value >= 1000 ? value.toFixed(0) : String(Number(value.toPrecision(3)));
}

export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((title, column) =>
    Math.max(title.length, ...rows.map((row) => (row[column] ?? '').length)),
  );
  const line = (cells: readonly string[]) =>
    `| ${cells.map((cell, column) => (column === 0 ? cell.padEnd(widths[column]!) : cell.padStart(widths[column]!))).join(' | ')} |`;
  const rule = `| ${widths.map((width, column) => (column === 0 ? '-'.repeat(width) : `${'-'.repeat(width - 1)}:`)).join(' | ')} |`;
  return [line(head), rule, ...rows.map(line)].join('\n');
}

/** The exponent of growth between two sizes: 1 is linear, 2 quadratic. */
export function growthExponent(
  small: { readonly size: number; readonly cost: number },
  large: { readonly size: number; readonly cost: number },
): number {
  return Math.log(large.cost / small.cost) / Math.log(large.size / small.size);
}
