/** Sentences of the commands that are used on site: preflight, laptop, record. */

export const onSiteTexts = {
  preflight: {
    usage: 'preflight SITE [options]',
    summary: 'Reach each web page of a site: connection, encryption, certificate, redirect.',
    about: [
      'Each page that the site states is asked for once, without cookies and without logging in; at most',
      '1 MB and 10 s of it are read. A redirect is reported and not followed. Only hosts that the site',
      'names are reached, one connection at a time. Run it where you may: on the network of the site,',
      'with the knowledge of who answers for it.',
      '',
      'With --modbus a host of the site is also asked by Modbus TCP which units it reaches: one register',
      'and the identification of each unit that it must find. Nothing is written, but every request takes',
      'a turn on the bus behind the host: do it only when nobody depends on the plant, and say so with',
      '--consent poll.',
    ],
  },
  laptop: {
    usage: 'laptop SITE [options]',
    summary:
      'Say whether the address of this computer fits the networks of a site, and which one does.',
    about: [
      'Reads the network interfaces of this computer and compares them with each network of the site.',
      'It changes nothing: the commands that would are printed. The exit code is 1 when no interface',
      'has an address that fits.',
    ],
  },

  authorityAbout: 'A file with certificates of authorities to trust (PEM), beside the public ones.',
  timeoutAbout: 'Seconds that a connection may take, at most 10 (left out).',
  modbusAbout: 'A host of the site to ask by Modbus TCP, such as SG-1.lan or SG-1.lan:1502.',
  unitsAbout: 'The units to ask, such as 1-16 or 1,4; left out: those that the host must find.',
  registerAbout: 'The holding register to read, counted from 0 (left out).',
  consentAbout: 'poll: the plant may be disturbed by requests on its bus.',
  networkAbout: 'One network of the site; left out: all of them.',
  recordToAbout: 'A .ferrule file into which what was seen is merged.',

  noPages: 'No host of this site states a page.\n',
  noTimeout: (text: string) => `--timeout "${text}" is no number of seconds from 1 to 10.`,
  noRegister: (text: string) => `--register "${text}" is no whole number from 0 to 65535.`,
  noUnits: (text: string) =>
    `--units "${text}" is no list of units from 1 to 247. Write it like 1-16 or 1,4,7.`,
  noConsent:
    '--modbus sends requests over a live bus and may disturb it. Add --consent poll when that is agreed with who answers for the plant.',
  needlessWithoutModbus: (option: string) => `--${option} belongs to --modbus HOST.`,
  unknownHost: (name: string, near: readonly string[]) =>
    `The site has no host "${name}" with a fixed address.${near.length > 0 ? ` Did you mean ${near.join(', ')}?` : ''}`,
  noPort: (text: string) => `--modbus "${text}" has no port from 1 to 65535 after its colon.`,
  noUnitsToAsk: (host: string) =>
    `By the wiring ${host} must find no unit with an address. Name the units to ask: --units 1-16.`,
  noAuthority: (file: string) => `"${file}" holds no certificate in PEM.`,
  notThere: (file: string, why: string) => `"${file}" cannot be read: ${why}.`,

  refusals: {
    'no-web-page':
      'Not visited: this is no address of a web page that starts with http:// or https://.',
    'not-of-this-host':
      'Not visited: its address is not the one that the site states for this host. One of the two lines is wrong.',
  },
  connected: (address: string, port: number) => `connected to ${address} port ${port}`,
  notConnected: (address: string, port: number) => `no page from ${address} port ${port}`,
  tls: (version: string) => `encrypted with ${version}`,
  status: (status: number, bytes: number, cut: boolean) =>
    `answered ${status}, ${bytes} bytes${cut ? ' and more, not read' : ''}`,
  redirect: (to: string) => `leads to ${to}`,
  plain: {
    closed: 'not open without encryption',
    'leads-to-https': 'without encryption it leads to https',
    opens: 'open without encryption, too',
  },
  subjectOf: (subject: string, issuer: string) => `certificate of ${subject}, issued by ${issuer}`,
  selfIssued: (subject: string) => `certificate of ${subject}, issued by itself`,
  names: (names: readonly string[]) =>
    names.length === 0 ? 'made out for no name' : `made out for ${names.join(', ')}`,
  valid: (from: string, to: string, days: number) =>
    `valid from ${from} to ${to} (${days < 0 ? `${-days} days ago` : `${days} days left`})`,
  key: (type: string, bits: number | undefined, hash: string | undefined) =>
    `key ${[type, bits].filter((each) => each !== undefined).join(' ')}, signed with ${hash ?? 'a hash that it does not name'}`,
  fingerprint: (text: string) => `SHA-256 ${text}`,
  compareFingerprint:
    'compare the fingerprint with the display of the device itself, and write it into the site',
  pinned: 'its fingerprint is the one that the site states',
  expiryDiffers: (stated: string, shown: string) =>
    `The site states that it expires on ${stated}; it does on ${shown}.`,
  kindDiffers: (stated: string) =>
    `The site states a certificate of the kind ${stated}; this is another.`,
  codes: (code: string) => ` [${code}]`,
  clock: (now: string) =>
    `Clock of this computer: ${now}. A wrong clock makes good certificates look bad.`,
  ok: 'ok',
  wrong: 'wrong',

  modbusHeading: (host: string, address: string, port: number) =>
    `${host} by Modbus TCP at ${address} port ${port}`,
  unitLine: (unit: number, device: string | undefined) =>
    `unit ${unit}${device === undefined ? '' : ` (${device})`}`,
  unitFound: 'found',
  unitMissing: 'not found',
  registerValue: (register: number, value: number) => `register ${register} holds ${value}`,
  modbusFailed: (why: string) => `could not be asked: ${why}`,
  pollCaution:
    'Caution: these requests take turns on a live bus. Stop when anything in the plant behaves oddly.',

  asLines: 'What was seen, as lines of the site:',
  mergedInto: (file: string, added: number, known: number) =>
    `${file}: ${added} observation${added === 1 ? '' : 's'} added${known === 0 ? '' : `, ${known} there already`}\n`,
  notUsed: (file: string, root: string) =>
    `${root} does not use "${file}" yet: add the line use "./…" so that it counts.\n`,
  notFerrule: (file: string) => `"${file}" does not end in .ferrule.`,

  laptopNoNetworks: 'This site has no IP network.\n',
  unknownNetwork: (name: string, near: readonly string[]) =>
    `The site has no network "${name}".${near.length > 0 ? ` Did you mean ${near.join(', ')}?` : ''}`,
  networkTitle: (name: string, subnet: string) => `${name} ${subnet}`,
  noSubnet: (name: string) => `${name}: its prefix is missing or cannot be read.`,
  noInterface: 'no interface of this computer has an IPv4 address',
  verdicts: {
    fits: 'fits',
    'other-subnet': 'is not in this network',
    'network-address': 'is the address of the network itself',
    'broadcast-address': 'is the broadcast address',
    'in-pool': 'lies in the pool that a server hands out: somebody else may get it',
    taken: (by: string) => `is taken by ${by}`,
    'mask-differs': (mask: string) =>
      `has another mask: part of the network is not reached. Set ${mask}`,
  },
  interfaceLine: (name: string, address: string, verdict: string) =>
    `${name}: ${address} ${verdict}`,
  noneFree: 'No address of this network is free for the laptop.',
  nothingToSet: 'Nothing has to be set.',
} as const;
