/** Words of the address plan and the IP plan. */
import type { AddressedBy, CertificateKind } from '../../model/values.js';

export const addressTexts = {
  title: 'Address plan',
  about:
    'The address to set on each device, for each of its ports that has one. Set it with the device off where its instructions say so, and write down what was set.',
  nothing: 'No bus of this site has addresses.',
  columns: {
    device: 'device',
    place: 'place',
    equipment: 'equipment',
    bus: 'bus',
    port: 'port',
    range: 'range',
    address: 'address',
    setBy: 'set by',
    switches: 'switches on',
    finders: 'found by',
    work: 'work',
    set: 'set',
    initials: 'initials',
  },
  busHeading: (bus: string) => `Bus ${bus}`,
  missing: 'none stated',
  setBy: {
    switch: 'switches on the device',
    tool: 'a tool over the bus',
    none: 'has none',
  } satisfies Record<AddressedBy, string>,
  setByUnknown: 'as its instructions say',
  switchNote:
    'Where an address is set with binary switches, the values of the switches that are on add up to it. Which switch has which value stands in the instructions of the equipment.',
} as const;

export const ipTexts = {
  title: 'IP plan',
  about: 'Networks, hosts, web pages, and how to set the laptop that commissions them.',
  nothing: 'This site has no IP network.',
  networkHeading: (name: string) => `Network ${name}`,
  fields: {
    prefix: 'Prefix',
    mask: 'Mask',
    networkAddress: 'Network address',
    broadcast: 'Broadcast address',
    range: 'Host addresses',
    vlan: 'VLAN',
    router: 'Router',
    pool: 'Pool handed out by DHCP',
    free: 'Free host addresses',
    laptop: 'Laptop',
  },
  none: 'none',
  notReadable: (text: string) => `${text} (cannot be read)`,
  notStated: 'not stated',
  rangeOf: (first: string, last: string) => `${first} to ${last}`,
  hostsCaption: 'Hosts',
  pagesCaption: 'Web pages',
  factoryCaption: 'Addresses that devices come with',
  columns: {
    network: 'network',
    host: 'host',
    place: 'place',
    address: 'address',
    ipv6: 'IPv6',
    factory: 'factory address',
    wire: 'cable from',
    work: 'work',
    set: 'set',
    page: 'page',
    scheme: 'scheme',
    expect: 'what the browser shows',
    name: 'name in the certificate',
    expires: 'certificate valid to',
    fingerprint: 'SHA-256 fingerprint',
    compared: 'compared with the device',
    initials: 'initials',
    laptop: 'laptop for this step',
    mask: 'mask',
    then: 'then set to',
    note: 'note',
  },
  dhcp: 'by DHCP',
  certificate: {
    'self-signed':
      'A warning, since the device vouches for itself. Compare the fingerprint with the display or the papers of the device before going on.',
    'own-authority':
      "No warning once the certificate of the owner's authority is installed on the laptop.",
    public: 'No warning.',
  } satisfies Record<CertificateKind, string>,
  certificateUnknown: 'Not stated: ask before going on past any warning.',
  plainHttp: 'No certificate: what is typed can be read on the way.',
  expired: (date: string) => `${date}: no longer valid on the day of this pack`,
  pageRule:
    'Never go on past a certificate warning that this plan does not expect. Write down who accepted what.',
  laptopHeading: (network: string) => `Laptop on ${network}`,
  laptopAbout: (address: string, mask: string) =>
    `Set the wired socket of the laptop to ${address} with mask ${mask}, no router, no name server. Switch off its other network connections while working, so that nothing is reached by a way that this plan does not show.`,
  laptopVlan: (vlan: number) =>
    `The socket that the laptop is plugged into must be in VLAN ${vlan}, untagged.`,
  laptopSuggested: (address: string) =>
    `No laptop address is stated for this network. ${address} is free; agree it with the owner of the network first.`,
  laptopNone: 'No laptop address is stated for this network, and none is free.',
  commands: {
    windows:
      'Windows, in a command prompt run as administrator ("Ethernet" is the name of the connection):',
    macos:
      'macOS, in a terminal (en0 is the wired interface; networksetup -listallhardwareports lists them):',
    linux: 'Linux, in a terminal (eth0 is the wired interface; ip link lists them):',
  },
  back: 'Put everything back to automatic at the end; the second command of each pair does that.',
  factoryAbout:
    'Devices that come with the same address must be connected and set one at a time. Set the laptop as listed for this step, then back to its own address.',
  several: 'one at a time',
} as const;
