/** What the map of addresses shows of each network, as plain data. Addresses are whole numbers, as in RFC 791. */
import type { Mark, SceneFinding, SceneTitle } from './scene.js';

export interface IpScene {
  readonly view: 'ip';
  readonly sheet: SceneTitle;
  readonly networks: readonly IpNetwork[];
  /** Each stands at a network or a holder: `at.id` is the id of one of them. */
  readonly findings: readonly SceneFinding[];
}

export interface IpNetwork {
  readonly id: string;
  readonly name: string;
  readonly title: string;
  /** `10.62.4.0/24`. */
  readonly prefix: string;
  readonly vlan: number | undefined;
  /** Undefined where the prefix cannot be read. */
  readonly subnet: IpSubnet | undefined;
  /** Ascending, those without a number last. */
  readonly holders: readonly IpHolder[];
  readonly pools: readonly IpRange[];
  readonly free: readonly IpRange[];
  /** Of host addresses: taken ones, those in pools that nothing else takes, the rest. */
  readonly counts: { readonly used: number; readonly pool: number; readonly free: number };
  readonly mark: Mark;
}

export interface IpRange {
  readonly first: number;
  readonly last: number;
}

export interface IpSubnet extends IpRange {
  readonly hosts: IpRange;
}

export interface IpHolder {
  readonly id: string;
  readonly kind: 'router' | 'host' | 'laptop' | 'dhcp';
  readonly name: string;
  readonly address: number | undefined;
  /** As shown. */
  readonly text: string;
  /** Title of the device. */
  readonly about: string;
  readonly mark: Mark;
}
