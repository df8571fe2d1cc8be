/** Numbers of documents as text, the same in every form. */
import { formatNumber } from '../../model/quantity.js';
import type { Mark, Quantity } from '../document.js';

/** One letter for each way of knowing a number, for tables; the legend says them in full. */
export const MARK_LETTERS: Readonly<Record<Mark, string>> = {
  stated: 'S',
  estimated: 'E',
  assumed: 'A',
  computed: 'C',
  measured: 'M',
  published: 'P',
};

/** `18` for 18 m: the number alone. */
export function numberText(quantity: Quantity): string {
  return formatNumber(quantity.value, quantity.digits);
}

/** `18 m`. */
export function quantityText(quantity: Quantity): string {
  return quantity.unit === '' ? numberText(quantity) : `${numberText(quantity)} ${quantity.unit}`;
}

/** `18 m (stated)`, for running text. */
export function markedText(quantity: Quantity): string {
  return `${quantityText(quantity)} (${quantity.mark})`;
}
