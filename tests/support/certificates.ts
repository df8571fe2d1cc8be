/** Certificates of every kind that a device may show, made by openssl when a test needs them. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

/** How to get openssl, for the name of a test that has to be skipped. */
export const OPENSSL_INSTALL = 'apt-get install -y openssl';

export function opensslIsInstalled(): boolean {
  return spawnSync('openssl', ['version'], { timeout: 20_000 }).status === 0;
}

export interface Issued {
  readonly name: string;
  /** PEM. */
  readonly certificate: string;
  readonly key: string;
}

const CURVE = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes'];
const YEAR = '365';

/** A folder with an authority of its own; everything in it is gone after `remove`. */
export class CertificateWorkshop {
  readonly folder = mkdtempSync(path.join(tmpdir(), 'ferrule-certificates-'));
  readonly authority: Issued;

  constructor() {
    this.authority = this.#selfSigned('authority', '/CN=Example plant authority', YEAR, CURVE, [
      'basicConstraints=critical,CA:TRUE',
      'keyUsage=critical,keyCertSign,cRLSign',
    ]);
    mkdirSync(path.join(this.folder, 'issued'));
    writeFileSync(path.join(this.folder, 'index.txt'), '');
    writeFileSync(path.join(this.folder, 'serial'), '1000\n');
    writeFileSync(
      path.join(this.folder, 'authority.cnf'),
      [
        '[ca]\ndefault_ca = own',
        '[own]\ndatabase = index.txt\nnew_certs_dir = issued\nserial = serial',
        'certificate = authority.crt\nprivate_key = authority.key\ndefault_md = sha256',
        'policy = any\nunique_subject = no\ncopy_extensions = copy',
        '[any]\ncommonName = supplied\n',
      ].join('\n'),
    );
  }

  /** One that the authority issues; `from` and `to` as `YYYYMMDDHHMMSSZ`. */
  issued(name: string, subject: string, names: string | undefined, from?: string, to?: string) {
    this.#run([
      ...['req', ...CURVE, '-keyout', `${name}.key`, '-out', `${name}.csr`, '-subj', subject],
      ...(names === undefined ? [] : ['-addext', `subjectAltName=${names}`]),
    ]);
    this.#run([
      ...['ca', '-batch', '-notext', '-config', 'authority.cnf'],
      ...['-in', `${name}.csr`, '-out', `${name}.crt`],
      ...(from === undefined || to === undefined
        ? ['-days', YEAR]
        : ['-startdate', from, '-enddate', to]),
    ]);
    return this.#read(name);
  }

  selfSigned(name: string, names: string): Issued {
    return this.#selfSigned(name, '/CN=panel-1', YEAR, CURVE, [`subjectAltName=${names}`]);
  }

  /** A short key, an old hash and twenty years. */
  weak(name: string, names: string): Issued {
    const key = ['-newkey', 'rsa:1024', '-sha1', '-nodes'];
    return this.#selfSigned(name, '/CN=panel-1', '7300', key, [`subjectAltName=${names}`]);
  }

  /** The code with which `openssl verify` objects; 0 where it does not. */
  verifyCode(certificate: string, host: string): number {
    const file = path.join(this.folder, 'asked.crt');
    writeFileSync(file, certificate);
    const option = /^[\d.]+$/u.test(host) ? '-verify_ip' : '-verify_hostname';
    const run = spawnSync(
      'openssl',
      ['verify', '-CAfile', 'authority.crt', '-auth_level', '0', option, host, file],
      { cwd: this.folder, encoding: 'utf8', timeout: 20_000 },
    );
    return run.status === 0 ? 0 : Number(/error (\d+) at/u.exec(run.stdout + run.stderr)?.[1]);
  }

  /** What openssl prints of a certificate. */
  told(certificate: string, ...options: readonly string[]): string {
    return this.#run(['x509', '-noout', ...options], certificate);
  }

  remove(): void {
    rmSync(this.folder, { recursive: true, force: true });
  }

  #selfSigned(
    name: string,
    subject: string,
    days: string,
    key: readonly string[],
    extensions: readonly string[],
  ): Issued {
    this.#run([
      ...['req', '-x509', ...key, '-keyout', `${name}.key`, '-out', `${name}.crt`],
      ...['-days', days, '-subj', subject],
      ...extensions.flatMap((extension) => ['-addext', extension]),
    ]);
    return this.#read(name);
  }

  #read(name: string): Issued {
    const text = (ending: string) => readFileSync(path.join(this.folder, name + ending), 'utf8');
    return { name, certificate: text('.crt'), key: text('.key') };
  }

  #run(words: readonly string[], input?: string): string {
    const run = spawnSync('openssl', words, {
      cwd: this.folder,
      encoding: 'utf8',
      timeout: 50_000,
      ...(input === undefined ? {} : { input }),
    });
    if (run.status !== 0) {
      throw new Error(`openssl ${words[0]} failed: ${run.error?.message ?? run.stderr}`);
    }
    return run.stdout;
  }
}
