/** The IP plan: networks, hosts, web pages, and how the laptop is set. */
import { freeHostCount, laptopAddress } from '../../analysis/network/free-hosts.js';
import {
  broadcastAddress,
  formatAddress,
  formatSubnet,
  hostRange,
  isHostAddress,
  maskOf,
  networkAddress,
  parseAddress,
  parseInterface,
} from '../../analysis/network/ipv4.js';
import type { Ipv4Interface, Ipv4Subnet } from '../../analysis/network/ipv4.js';
import { readPage } from '../../analysis/network/page.js';
import { freeLaptopAddress, networkPlan, reservationsOf } from '../../analysis/network/plan.js';
import type { Host, Network } from '../../model/records.js';
import { compareNames, memberKey, resolveLan, roomOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import {
  blank,
  boxColumn,
  caution,
  count,
  note,
  paragraph,
  phraseOf,
  quantity,
  say,
  tableOf,
  textColumn,
  writeColumn,
} from '../document.js';
import type { Block, Cell, Document, Phrase, Section } from '../document.js';
import { placeText } from '../marks.js';
import { ipTexts as texts } from '../texts/addressing.js';
import { words } from '../texts/words.js';
import { laptopCommands } from './laptop-commands.js';

/** `on` is the ISO date on which certificates are judged. */
export function ipPlan(site: Site, on: string): Document {
  const networks = [...site.networks.values()].sort((one, other) =>
    compareNames(one.name, other.name),
  );
  return {
    id: 'ip-plan',
    title: texts.title,
    orientation: 'landscape',
    introduction: [paragraph(networks.length === 0 ? texts.nothing : texts.about)],
    sections: networks.flatMap((network): Section[] => [
      networkSection(site, network, on),
      laptopSection(site, network),
    ]),
  };
}

function networkSection(site: Site, network: Network, on: string): Section {
  const hosts = network.hosts.map((host): HostRow => ({ network, host }));
  const pages = hosts.filter(({ host }) => host.page !== undefined);
  return {
    heading: texts.networkHeading(network.title ?? network.name),
    blocks: [
      { kind: 'fields', fields: networkFields(site, network) },
      hostTable(site, hosts),
      ...(pages.length === 0 ? [] : [pageTable(site, pages, on), caution(texts.pageRule)]),
      ...factoryBlocks(site, network),
    ],
  };
}

function networkFields(
  site: Site,
  network: Network,
): readonly { readonly label: string; readonly content: Phrase }[] {
  const plan = networkPlan(site, network);
  const { subnet } = plan;
  const { fields } = texts;
  const field = (label: string, content: Phrase | string) => ({
    label,
    content: phraseOf(content),
  });
  const routers = network.routers.map((router) =>
    [router.name, router.address].filter((text) => text !== undefined).join(' '),
  );
  const common = [
    ...(network.vlan === undefined
      ? []
      : [field(fields.vlan, say`${quantity(network.vlan, '', 'stated', 0)}`)]),
    field(fields.router, routers.length === 0 ? texts.none : routers.join(', ')),
    ...network.pools.map((pool) => field(fields.pool, texts.rangeOf(pool.from, pool.to))),
    field(
      fields.laptop,
      network.laptops.length === 0
        ? texts.notStated
        : network.laptops.map((laptop) => laptop.address).join(', '),
    ),
  ];
  if (subnet === undefined) {
    const prefix =
      network.prefix === undefined ? texts.notStated : texts.notReadable(network.prefix);
    return [field(fields.prefix, prefix), ...common];
  }
  const range = hostRange(subnet);
  const base = networkAddress(subnet);
  const broadcast = broadcastAddress(subnet);
  return [
    field(fields.prefix, formatSubnet(subnet)),
    field(fields.mask, formatAddress(maskOf(subnet.prefixLength))),
    field(fields.networkAddress, base === undefined ? texts.none : formatAddress(base)),
    field(fields.broadcast, broadcast === undefined ? texts.none : formatAddress(broadcast)),
    field(fields.range, texts.rangeOf(formatAddress(range.first), formatAddress(range.last))),
    ...common,
    field(fields.free, say`${count(freeHostCount(subnet, reservationsOf(plan)))}`),
  ];
}

interface HostRow {
  readonly network: Network;
  readonly host: Host;
}

function hostTable(site: Site, rows: readonly HostRow[]): Block {
  const { columns: headings } = texts;
  return tableOf<HostRow>(
    'ip-hosts',
    texts.hostsCaption,
    [
      textColumn(headings.network, ({ network }) => network.name, 'data'),
      textColumn(headings.host, ({ host }) => hostName(host)),
      textColumn(headings.place, ({ host }) => placeOfHost(site, host)),
      textColumn(headings.address, ({ host }) => addressText(host)),
      textColumn(headings.ipv6, ({ host }) => host.ipv6 ?? ''),
      textColumn(headings.factory, ({ host }) => factoryAddress(site, host) ?? ''),
      textColumn(headings.wire, ({ host }) =>
        host.from === undefined ? '' : memberKey(host.from.owner, host.from.member),
      ),
      textColumn(headings.work, ({ host }) =>
        isExisting(site, host) ? words.existing : words.fresh,
      ),
      boxColumn(headings.set),
      writeColumn(headings.initials),
    ],
    rows,
  );
}

function pageTable(site: Site, rows: readonly HostRow[], on: string): Block {
  const { columns: headings } = texts;
  return tableOf<HostRow>(
    'ip-pages',
    texts.pagesCaption,
    [
      textColumn(headings.network, ({ network }) => network.name, 'data'),
      textColumn(headings.host, ({ host }) => hostName(host)),
      textColumn(headings.page, ({ host }) => host.page ?? ''),
      textColumn(headings.expect, ({ host }) => certificateExpectation(site, host)),
      textColumn(headings.name, ({ host }) => host.certificateName ?? ''),
      textColumn(headings.expires, ({ host }) => expiryText(host, on)),
      textColumn(headings.fingerprint, ({ host }): Cell => host.fingerprint ?? blank),
      boxColumn(headings.compared),
      writeColumn(headings.initials),
    ],
    rows,
  );
}

/** What the browser of the laptop is expected to show when it opens the page of a host. */
export function certificateExpectation(site: Site, host: Host): string {
  if (host.page !== undefined && readPage(host.page)?.scheme === 'http') {
    return texts.plainHttp;
  }
  const certificate = resolveLan(site, host.device, host.lan)?.lan.certificate;
  return certificate === undefined ? texts.certificateUnknown : texts.certificate[certificate];
}

/** ISO dates compare as texts. The last day counts as valid. */
function expiryText(host: Host, on: string): string {
  if (host.expires === undefined) {
    return '';
  }
  return host.expires < on ? texts.expired(host.expires) : host.expires;
}

function laptopSection(site: Site, network: Network): Section {
  const heading = texts.laptopHeading(network.name);
  const plan = networkPlan(site, network);
  const stated = network.laptops.flatMap(({ address }) => {
    const read = parseAddress(address);
    return read.ok ? [read.value] : [];
  });
  const { subnet } = plan;
  const usable = stated.find((address) => subnet !== undefined && isHostAddress(subnet, address));
  if (subnet !== undefined && usable !== undefined) {
    return { heading, blocks: laptopBlocks({ address: usable, subnet }, network.vlan) };
  }
  const free = freeLaptopAddress(site, network);
  return {
    heading,
    blocks: [caution(free === undefined ? texts.laptopNone : texts.laptopSuggested(free))],
  };
}

function laptopBlocks(laptop: Ipv4Interface, vlan: number | undefined): readonly Block[] {
  const commands = laptopCommands(laptop);
  return [
    paragraph(
      texts.laptopAbout(
        formatAddress(laptop.address),
        formatAddress(maskOf(laptop.subnet.prefixLength)),
      ),
    ),
    ...(vlan === undefined ? [] : [paragraph(texts.laptopVlan(vlan))]),
    { kind: 'commands', label: texts.commands.windows, lines: commands.windows },
    { kind: 'commands', label: texts.commands.macos, lines: commands.macos },
    { kind: 'commands', label: texts.commands.linux, lines: commands.linux },
    note(texts.back),
  ];
}

interface FactoryRow {
  readonly host: Host;
  readonly factory: Ipv4Interface;
  readonly sameAsOthers: boolean;
}

function factoryBlocks(site: Site, network: Network): readonly Block[] {
  const read = network.hosts.flatMap((host): Omit<FactoryRow, 'sameAsOthers'>[] => {
    const text = factoryAddress(site, host);
    const factory = text === undefined ? undefined : parseInterface(text);
    return factory?.ok === true && !isExisting(site, host)
      ? [{ host, factory: factory.value }]
      : [];
  });
  if (read.length === 0) {
    return [];
  }
  const rows = read.map((row) => ({
    ...row,
    sameAsOthers: read.filter((one) => one.factory.address === row.factory.address).length > 1,
  }));
  const { columns: headings } = texts;
  return [
    tableOf<FactoryRow>(
      'ip-factory-addresses',
      texts.factoryCaption,
      [
        textColumn(headings.network, () => network.name, 'data'),
        textColumn(headings.host, ({ host }) => hostName(host)),
        textColumn(headings.factory, ({ factory }) => interfaceText(factory)),
        textColumn(headings.laptop, ({ factory }) => laptopFor(factory.subnet, factory.address)),
        textColumn(headings.mask, ({ factory }) =>
          formatAddress(maskOf(factory.subnet.prefixLength)),
        ),
        textColumn(headings.then, ({ host }) => addressText(host)),
        textColumn(headings.note, ({ sameAsOthers }) => (sameAsOthers ? texts.several : '')),
        boxColumn(headings.set),
      ],
      rows,
    ),
    caution(texts.factoryAbout),
  ];
}

function laptopFor(subnet: Ipv4Subnet, taken: number): string {
  const free = laptopAddress(subnet, { taken: [taken], pools: [] });
  return free === undefined ? texts.none : formatAddress(free);
}

function interfaceText({ address, subnet }: Ipv4Interface): string {
  return `${formatAddress(address)}/${subnet.prefixLength}`;
}

/** What was there before the work has its address already. */
function isExisting(site: Site, host: Host): boolean {
  return host.existing || site.devices.get(host.device)?.existing === true;
}

function hostName(host: Host): string {
  return memberKey(host.device, host.lan);
}

function addressText(host: Host): string {
  return host.address ?? (host.dhcp ? texts.dhcp : texts.notStated);
}

function factoryAddress(site: Site, host: Host): string | undefined {
  return resolveLan(site, host.device, host.lan)?.lan.defaultAddress;
}

function placeOfHost(site: Site, host: Host): string {
  const device = site.devices.get(host.device);
  return placeText(device === undefined ? undefined : roomOf(site, device));
}
