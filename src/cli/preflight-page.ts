/** A visited page as text and as JSON. */
import { CERTIFICATE_PROBLEMS } from '../probe/certificate.js';
import type { CertificateReport } from '../probe/certificate.js';
import { PAGE_PROBLEMS } from '../probe/page-visit.js';
import type { PageProblem, PageVisit } from '../probe/page-visit.js';
import { neutralised } from '../report/neutral.js';
import type { StatedPage } from '../workbench/on-site.js';
import { onSiteTexts as texts } from './texts-on-site.js';

export interface VisitedPage {
  readonly stated: StatedPage;
  /** Undefined where it was refused. */
  readonly visit?: PageVisit;
}

/** What is wrong, by name: with the connection and certificate, and against what the site states. */
export function problemsOf({ stated, visit }: VisitedPage): readonly string[] {
  return visit === undefined
    ? [stated.refusal ?? 'not-visited']
    : [...visit.problems, ...statedProblems(stated, visit)];
}

/** The same in sentences. */
export function problemTexts({ stated, visit }: VisitedPage): readonly string[] {
  if (visit === undefined) {
    return stated.refusal === undefined ? [] : [texts.refusals[stated.refusal]];
  }
  const { certificate } = visit;
  return [
    ...visit.problems.map(problemText),
    ...statedProblems(stated, visit).map((problem) =>
      problem === 'expiry-differs'
        ? texts.expiryDiffers(stated.expires!, certificate!.notAfter.slice(0, 10))
        : texts.kindDiffers(stated.certificate!),
    ),
  ];
}

export function pageText(page: VisitedPage): string {
  const { stated, visit } = page;
  const problems = problemTexts(page);
  const title = `${stated.subject} ${stated.page}: ${problems.length === 0 ? texts.ok : texts.wrong}`;
  const seen = visit === undefined ? [] : seenLines(stated, visit);
  const code = visit?.code === undefined ? '' : texts.codes(visit.code);
  return `${[
    neutralised(title),
    ...seen.map((line) => `  ${neutralised(line)}`),
    ...problems.map((line, index) => `  - ${line}${index === 0 ? code : ''}`),
  ].join('\n')}\n`;
}

export function pageJson(page: VisitedPage) {
  const { stated, visit } = page;
  return {
    subject: stated.subject,
    page: stated.page,
    address: visit?.address ?? null,
    port: visit?.port ?? null,
    tls: visit?.tlsVersion ?? null,
    status: visit?.status ?? null,
    bytes: visit?.bytes ?? null,
    redirect: visit?.redirect ?? null,
    plain: visit?.plain ?? null,
    code: visit?.code ?? null,
    certificate: visit?.certificate === undefined ? null : certificateJson(visit.certificate),
    problems: problemsOf(page),
  };
}

function certificateJson(certificate: CertificateReport) {
  const { keyBits, signatureHash, problems: _, ...rest } = certificate;
  return { ...rest, keyBits: keyBits ?? null, signatureHash: signatureHash ?? null };
}

type StatedProblem = 'expiry-differs' | 'kind-differs';

function statedProblems(
  { expires, certificate: kind }: StatedPage,
  { certificate }: PageVisit,
): readonly StatedProblem[] {
  if (certificate === undefined) {
    return [];
  }
  return [
    ...(expires !== undefined && certificate.notAfter.slice(0, 10) !== expires
      ? (['expiry-differs'] as const)
      : []),
    ...(kind !== undefined && (kind === 'self-signed') !== certificate.selfSigned
      ? (['kind-differs'] as const)
      : []),
  ];
}

function problemText(problem: PageProblem): string {
  return problem in PAGE_PROBLEMS
    ? PAGE_PROBLEMS[problem as keyof typeof PAGE_PROBLEMS]
    : CERTIFICATE_PROBLEMS[problem as keyof typeof CERTIFICATE_PROBLEMS];
}

function seenLines(stated: StatedPage, visit: PageVisit): readonly string[] {
  const isReached = visit.status !== undefined || visit.tlsVersion !== undefined;
  return [
    isReached
      ? texts.connected(visit.address, visit.port)
      : texts.notConnected(visit.address, visit.port),
    ...(visit.tlsVersion === undefined ? [] : [texts.tls(visit.tlsVersion)]),
    ...(visit.certificate === undefined ? [] : certificateLines(stated, visit.certificate)),
    ...(visit.status === undefined
      ? []
      : [texts.status(visit.status, visit.bytes ?? 0, visit.cut)]),
    ...(visit.redirect === undefined ? [] : [texts.redirect(visit.redirect.to)]),
    ...(visit.plain === undefined ? [] : [texts.plain[visit.plain]]),
  ];
}

function certificateLines(stated: StatedPage, certificate: CertificateReport): readonly string[] {
  const day = (instant: string) => instant.slice(0, 10);
  return [
    certificate.selfSigned
      ? texts.selfIssued(certificate.subject)
      : texts.subjectOf(certificate.subject, certificate.issuer),
    texts.names(certificate.names),
    texts.valid(day(certificate.notBefore), day(certificate.notAfter), certificate.daysLeft),
    texts.key(certificate.keyType, certificate.keyBits, certificate.signatureHash),
    texts.fingerprint(certificate.fingerprint),
    ...(stated.fingerprint === undefined
      ? [texts.compareFingerprint]
      : certificate.problems.includes('fingerprint-mismatch')
        ? []
        : [texts.pinned]),
  ];
}
