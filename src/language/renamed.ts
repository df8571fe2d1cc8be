/** Records with the names in them put in other words. What stays the same keeps its object. */
import type { Declaration, Device, Isolator } from '../model/records.js';
import type { Bus, Feed } from '../model/wiring.js';
import { throughInstancesText, type MemberMap } from './inward.js';

export function renamed(record: Declaration, map: MemberMap): Declaration {
  switch (record.kind) {
    case 'device':
      return renamedDevice(record, map);
    case 'bus':
    case 'feed':
      return renamedRun(record, map);
    case 'isolator':
      return renamedIsolator(record, map);
    case 'board':
      return record.from === undefined ? record : { ...record, from: map(record.from) };
    case 'containment':
      return {
        ...record,
        carries: record.carries.map((path) => {
          const name = throughInstancesText(map, path.join('.'));
          const cut = name.lastIndexOf('.');
          return cut < 0 ? [name] : [name.slice(0, cut), name.slice(cut + 1)];
        }),
      };
    case 'network':
      return {
        ...record,
        hosts: record.hosts.map((host) => {
          const { owner, member } = map({ owner: host.device, member: host.lan });
          return {
            ...host,
            device: owner,
            lan: member,
            ...(host.from === undefined ? {} : { from: map(host.from) }),
          };
        }),
      };
    case 'accept':
      return { ...record, on: throughInstancesText(map, record.on) };
    case 'observed':
      return { ...record, subject: throughInstancesText(map, record.subject) };
    default:
      return record;
  }
}

export function renamedDevice(device: Device, map: MemberMap): Device {
  return {
    ...device,
    inletLines: device.inletLines.map((line) => ({ ...line, from: map(line.from) })),
  };
}

export function renamedIsolator(isolator: Isolator, map: MemberMap): Isolator {
  return { ...isolator, on: map(isolator.on) };
}

export function renamedRun(run: Bus | Feed, map: MemberMap): Bus | Feed {
  const landings = run.landings.map((landing) => {
    const { owner, member } = map({ owner: landing.device, member: landing.member });
    return { ...landing, device: owner, member };
  });
  return run.kind === 'bus'
    ? { ...run, landings }
    : {
        ...run,
        landings,
        from: map(run.from),
        ...(run.and === undefined ? {} : { and: map(run.and) }),
      };
}
