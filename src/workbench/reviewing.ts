/** The review of two versions of a site, wherever they were opened from. */
import {
  COMMENT_LIMIT,
  reviewMarkdown,
  reviewText,
  reviewValue,
  SUMMARY_LIMIT,
} from '../review/render.js';
import { isUnchanged, reviewOf, type Review } from '../review/review.js';
import { jsonText, schemaVersion } from '../report/json.js';
import type { CheckedSite } from './workbench.js';

export type ReviewFormat = 'text' | 'markdown' | 'summary' | 'json';

export interface WrittenReview {
  readonly text: string;
  readonly unchanged: boolean;
}

export function reviewBetween(base: CheckedSite, head: CheckedSite): Review {
  const version = ({ open, findings }: CheckedSite) => ({
    site: open.site,
    findings: findings.map(({ finding }) => finding),
  });
  return reviewOf(version(base), version(head));
}

export function writtenReview(review: Review, format: ReviewFormat): WrittenReview {
  return { text: textOf(review, format), unchanged: isUnchanged(review) };
}

function textOf(review: Review, format: ReviewFormat): string {
  switch (format) {
    case 'text':
      return reviewText(review);
    case 'markdown':
      return reviewMarkdown(review, COMMENT_LIMIT);
    case 'summary':
      return reviewMarkdown(review, SUMMARY_LIMIT);
    case 'json':
      return jsonText(reviewValue(review, schemaVersion));
  }
}
