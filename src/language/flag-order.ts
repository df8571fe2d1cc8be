/** The order in which the formatter writes what may stand in any order. */

export interface FlagGroup {
  /** Whether a token starts the group: by its text, or by the kind of its token. */
  readonly matches: (image: string, kind: string) => boolean;
  /** What follows its first token. */
  readonly takes: 'nothing' | 'one' | 'path' | 'two paths' | 'list';
}

const flag = (word: string): FlagGroup => ({
  matches: (image) => image === word,
  takes: 'nothing',
});
const value = (word: string): FlagGroup => ({ matches: (image) => image === word, takes: 'one' });
const path = (word: string): FlagGroup => ({ matches: (image) => image === word, takes: 'path' });
const list = (word: string): FlagGroup => ({ matches: (image) => image === word, takes: 'list' });
const kind = (name: string): FlagGroup => ({
  matches: (_image, one) => one === name,
  takes: 'nothing',
});
const figure = (units: RegExp): FlagGroup => ({
  matches: (image, one) => (one === 'QUANTITY' || one === 'NUMBER') && units.test(image),
  takes: 'nothing',
});

const voltage = figure(/V(?:AC|DC| ?AC| ?DC)?$/u);
const figures = figure(/./u);

/** By node: how many tokens stand in front (a path after the keyword counts as `path`), then the groups in order. */
export const flagOrder: Readonly<
  Record<string, { readonly begins: number | 'path'; readonly groups: readonly FlagGroup[] }>
> = {
  LandLine: {
    begins: 'path',
    groups: [
      figures,
      value('using'),
      list('cores'),
      flag('terminated'),
      flag('bonded'),
      flag('covered'),
      flag('existing'),
    ],
  },
  InletDefinition: {
    begins: 2,
    groups: [
      voltage,
      flag('three-phase'),
      figures,
      value('power-factor'),
      value('draws'),
      value('tolerance'),
      flag('dedicated'),
      flag('exposed'),
      flag('optional'),
      flag('isolates'),
      flag('double-insulated'),
      list('terminals'),
      value('capacity'),
    ],
  },
  OutletDefinition: {
    begins: 2,
    groups: [
      voltage,
      flag('three-phase'),
      figures,
      flag('class-2'),
      flag('selv'),
      flag('pelv'),
      value('from'),
      value('regulation'),
      value('resistance'),
      value('protected'),
      value('curve'),
      flag('stored'),
      flag('decoupled'),
      list('terminals'),
      value('capacity'),
    ],
  },
  PortDefinition: {
    begins: 4,
    groups: [list('terminals'), value('capacity'), value('screen'), value('as')],
  },
  WayLine: {
    begins: 2,
    groups: [
      voltage,
      flag('three-phase'),
      figures,
      value('curve'),
      value('rcd'),
      value('poles'),
      value('phase'),
      flag('existing'),
      kind('STRING'),
    ],
  },
  BoardBlock: { begins: 2, groups: [path('in'), path('from'), flag('existing')] },
  IsolatorLine: { begins: 2, groups: [path('on'), path('in'), flag('lockable'), flag('existing')] },
  DeviceBlock: { begins: 2, groups: [path('in'), flag('existing'), flag('main')] },
  BusBlock: { begins: 2, groups: [value('using'), flag('existing')] },
  FeedBlock: {
    begins: 2,
    groups: [
      { matches: (image) => image === 'from', takes: 'two paths' },
      value('using'),
      flag('existing'),
    ],
  },
  NetworkBlock: { begins: 2, groups: [kind('ADDRESS'), value('vlan')] },
  HostLine: {
    begins: 'path',
    groups: [
      kind('ADDRESS'),
      flag('dhcp'),
      path('from'),
      value('using'),
      figures,
      value('ipv6'),
      flag('existing'),
    ],
  },
};
