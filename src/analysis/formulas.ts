/**
 * The formula behind each fact, in the words of its terms: what a person works through with paper and
 * pencil. Where it stands is said by the fact's own source.
 */
export const FORMULAS: Readonly<Record<string, string>> = {
  drops: 'the number of ports as controller or responder on the segment',
  'total-length':
    'the sum of all cables of the segment, spurs and the closing cable of a ring included',
  'farthest-length': 'the sum of the cables between the two ports that lie furthest apart',
  'longest-stub': 'the longest spur with one landing; 0 where there is none',
  'unit-loads': 'the sum of the unit loads of all ports; 1 for a port that states none',
  'idle-voltage':
    'the least voltage between the two wires while nobody talks: bias against terminators, receivers (12 kohm per unit load) and cable',
  'far-signal':
    'the least voltage that a driver puts on the port furthest from it: 1.5 V into 54 ohm, less what the cable takes',
  'head-resistance':
    'the terminators as a meter sees them from the first landing, through the cable, all power off',
  'scan-time':
    'by poll: sum over the responders of (poll + reply bytes) x 11 bits / rate + 2 t3.5 + process time; by token: one round of all ports that hold the token',
  load: 'the sum of the demands behind it: A on direct current and on ways, VA on outlets of alternating current',
  spare: 'rating - load',
  voltage:
    'source voltage - sum of R I over the cables on the way, with R = 2 L r at the conductor temperature',
  'voltage-drop': '(source nominal - lowest voltage at an inlet) / source nominal x 100 %',
  'collapse-margin':
    'the factor by which all constant-power loads together may grow before no operating point is left',
  'fault-current':
    'source voltage / (source resistance + loop resistance of the cable) at its far end',
  address: 'as stated',
  'isolate-at':
    'on every path from every energy source to the enclosure, the nearest point outside it that can be locked',
  finds:
    'the number of devices of the supervised role that are reached, each once, relays followed',
  'found-units': 'the devices of the supervised role that are reached, in bus order',
  hosts: 'the number of hosts on the network, static and by DHCP',
  free: 'host addresses of the prefix outside pools, routers, hosts and laptops',
  length: 'the sum of all cables of this type that are to be laid',
  impact:
    'what works while everything does, less what still works when this one cable is cut or this one thing is dead',
  'isolation-sets':
    'sets of points that leave no source a way to the device, each needed as long as the others are all that is open',
  reels: 'reels that the cuts are taken from, each cut from one reel',
};
