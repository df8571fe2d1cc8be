/** What a pack may be used for, and what stands on each of its documents. */
import type { Finding } from '../../model/finding.js';
import type { Site } from '../../model/site.js';
import type { Frame } from '../document.js';
import { frameTexts } from '../texts/frame.js';

export type PackStatus = 'forbidden' | 'preliminary' | 'approved';

/** Errors that nothing accepts forbid to build; approval needs a name and a date of issue. */
export function statusOf(site: Site, findings: readonly Finding[]): PackStatus {
  if (findings.some((finding) => finding.severity === 'error' && finding.waived === null)) {
    return 'forbidden';
  }
  const { approved, issued } = site.settings ?? {};
  return isStated(approved) && isStated(issued) ? 'approved' : 'preliminary';
}

export function frameOf(site: Site, findings: readonly Finding[], on: string): Frame {
  const status = statusOf(site, findings);
  const { settings } = site;
  return {
    site: settings?.title ?? settings?.name ?? '',
    owner: settings?.owner ?? '',
    drawing: settings?.drawing ?? '',
    revision: settings?.revision ?? '',
    checkedOn: on,
    status: statusText(site, status),
    forbidsWork: status === 'forbidden',
    reservations: frameTexts.reservations,
  };
}

function statusText(site: Site, status: PackStatus): string {
  switch (status) {
    case 'forbidden':
      return frameTexts.status.forbidden;
    case 'preliminary':
      return frameTexts.status.preliminary;
    case 'approved':
      return frameTexts.status.approved(site.settings?.approved ?? '', site.settings?.issued ?? '');
  }
}

function isStated(text: string | undefined): boolean {
  return text !== undefined && text.trim() !== '';
}
