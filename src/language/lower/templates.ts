/** Bus types, cables and equipment. */
import { nearNames } from '../../analysis/near-names.js';
import type {
  BusType,
  Cable,
  Crossing,
  Equipment,
  Inlet,
  LanPort,
  Outlet,
  Port,
  Supervises,
} from '../../model/equipment.js';
import {
  ADDRESSED_BY,
  CERTIFICATES,
  COLOURS,
  CURVES,
  DRAWS,
  LENGTH_LIMITS,
  ROLES,
  SCANS,
  SCREEN_BONDS,
  SHAPES,
  SIGNALS,
  TALKS,
  TERMINATE_WHERE,
  type LengthLimit,
} from '../../model/values.js';
import type * as ast from '../generated/ast.js';
import { texts } from '../texts.js';
import { defined, type Reader } from './reader.js';

type Mutable<Record_> = { -readonly [Key in keyof Record_]: Record_[Key] };

export function lowerBusType(reader: Reader, block: ast.BusTypeBlock): BusType {
  const type: Mutable<BusType> = {
    kind: 'bustype',
    name: block.name,
    ...reader.optionalText('title', block.title),
    polarised: false,
    lengthLimitM: {},
  };
  const lengthLimitM: Partial<Record<LengthLimit, number>> = {};
  type.lengthLimitM = lengthLimitM;
  for (const fact of block.facts) {
    switch (fact.$type) {
      case 'ConductorsFact':
        reader.mark('conductors', fact);
        type.conductors = reader.count(fact, 'value', fact.value);
        type.polarised = fact.polarised;
        break;
      case 'ShapeFact':
        reader.mark('shape', fact);
        type.shape = reader.choice(SHAPES, 'shape', fact, 'value', fact.value);
        break;
      case 'DropsFact':
        reader.mark('drops', fact);
        type.drops = reader.count(fact, 'value', fact.value);
        break;
      case 'LengthFact': {
        const what = reader.choice(LENGTH_LIMITS, 'length limit', fact, 'what', fact.what);
        const value = reader.number(fact, 'value', fact.value, 'length');
        if (what !== undefined && value !== undefined) {
          reader.mark(`length/${what}`, fact);
          lengthLimitM[what] = value;
        }
        break;
      }
      case 'AddressRangeFact': {
        reader.mark('address', fact);
        const from = reader.count(fact, 'from', fact.from);
        const to = reader.count(fact, 'to', fact.to);
        const except = fact.except
          .flatMap((one) => one.split(','))
          .map((one) => Number(one))
          .filter((one) => Number.isInteger(one));
        if (from !== undefined && to !== undefined) {
          type.addresses = { from, to, except };
        }
        break;
      }
      case 'ControllersFact':
        reader.mark('controllers', fact);
        type.controllers = reader.count(fact, 'value', fact.value);
        break;
      case 'SourcesFact':
        reader.mark('sources', fact);
        type.sources = reader.count(fact, 'value', fact.value);
        break;
      case 'CableRangeFact': {
        reader.mark('cable', fact);
        const from = reader.size(fact, 'from', fact.from);
        const to = fact.to === undefined ? from : reader.size(fact, 'to', fact.to);
        if (from !== undefined && to !== undefined) {
          type.cable = { from, to, screened: fact.screened, twisted: fact.twisted };
        }
        break;
      }
      case 'TerminateFact': {
        reader.mark('terminate', fact);
        const where = reader.choice(
          TERMINATE_WHERE,
          'place for terminators',
          fact,
          'where',
          fact.where,
        );
        const ohm = reader.number(fact, 'value', fact.value, 'resistance');
        if (where !== undefined && ohm !== undefined) {
          type.terminate = { where, ohm };
        }
        break;
      }
      case 'SignalFact': {
        reader.mark('signal', fact);
        const kind = reader.choice(SIGNALS, 'signal', fact, 'value', fact.value);
        if (kind !== undefined) {
          const signal: { kind: typeof kind; rateBaud?: number; unitLoads?: number } = { kind };
          for (const figure of fact.figures) {
            if (figure.$type === 'RateFigure') {
              reader.mark('signal/rate', figure);
              signal.rateBaud = reader.number(figure, 'value', figure.value, 'rate');
            } else {
              reader.mark('signal/unit-loads', figure);
              signal.unitLoads = reader.number(figure, 'value', figure.value, 'count');
            }
          }
          type.signal = defined(signal) as typeof signal;
        }
        break;
      }
      case 'ScanFact': {
        reader.mark('scan', fact);
        const withinS = reader.number(fact, 'value', fact.value, 'time');
        const by =
          fact.by === undefined
            ? 'poll'
            : reader.choice(SCANS, 'way of scanning', fact, 'by', fact.by);
        if (withinS !== undefined && by !== undefined) {
          type.scan = { withinS, by };
        }
        break;
      }
      case 'PowerFact': {
        reader.mark('power', fact);
        const nominal = reader.voltage(fact, 'value', fact.value);
        const minimum = reader.voltage(fact, 'minimum', fact.minimum);
        if (nominal !== undefined) {
          type.power = {
            nominal,
            ...(minimum === undefined ? {} : { minimumVolts: minimum.volts }),
          };
        }
        break;
      }
      case 'ScreenFact':
        reader.mark('screen', fact);
        type.screenBonded = reader.choice(
          SCREEN_BONDS,
          'way of bonding',
          fact,
          'value',
          fact.value,
        );
        break;
    }
  }
  return defined(type) as BusType;
}

export function lowerCable(reader: Reader, block: ast.CableBlock): Cable {
  const cable: Mutable<Cable> = {
    kind: 'cable',
    name: block.name,
    ...reader.optionalText('title', block.title),
    colours: [],
    screened: false,
    twisted: false,
  };
  for (const fact of block.facts) {
    switch (fact.$type) {
      case 'CoresFact': {
        reader.mark('cores', fact);
        const size = reader.size(fact, 'size', fact.size);
        const conductorClass = reader.count(fact, 'conductorClass', fact.conductorClass);
        if (conductorClass !== undefined && ![1, 2, 5].includes(conductorClass)) {
          reader.problem(
            {
              rule: 'quantity-unit-mismatch',
              ...texts.outOfRange(`class ${conductorClass}`, '1, 2 or 5, the classes of IEC 60228'),
            },
            reader.span(fact, 'conductorClass'),
          );
        }
        const count = Number.parseInt(fact.count ?? '', 10);
        if (size !== undefined && Number.isFinite(count)) {
          cable.cores = {
            count,
            size,
            ...(conductorClass === 1 || conductorClass === 2 || conductorClass === 5
              ? { conductorClass }
              : {}),
          };
        }
        break;
      }
      case 'ColoursFact':
        reader.mark('colours', fact);
        cable.colours = fact.colours.filter((colour, index) =>
          knownColour(reader, fact, colour, index, 'colours'),
        );
        break;
      case 'ScreenedFact':
        reader.mark('screened', fact);
        cable.screened = true;
        break;
      case 'TwistedFact':
        cable.twisted = true;
        break;
      case 'ImpedanceFact':
        cable.impedanceOhm = reader.number(fact, 'value', fact.value, 'resistance');
        break;
      case 'VelocityFact':
        cable.velocityPercent = reader.number(fact, 'value', fact.value, 'ratio');
        break;
      case 'RatedFact':
        reader.mark('rated', fact);
        cable.ratedVolts = reader.voltage(fact, 'value', fact.value)?.volts;
        break;
      case 'ReelFact':
        reader.mark('reel', fact);
        cable.reelM = reader.number(fact, 'value', fact.value, 'length');
        break;
      case 'AmpacityFact':
        reader.mark('ampacity', fact);
        cable.ampacityA = reader.number(fact, 'value', fact.value, 'current');
        break;
    }
  }
  return defined(cable) as Cable;
}

/** Whether a colour is a code of IEC 60757; two codes in one word (`RDBU`) stand for a two-colour core. */
export function knownColour(
  reader: Reader,
  node: ast.ColoursFact | ast.LandLine,
  colour: string,
  index: number,
  property: string,
): boolean {
  if (Object.hasOwn(COLOURS, colour)) {
    return true;
  }
  const halves = /^([A-Z]{2})([A-Z]{2})$/u.exec(colour);
  if (halves !== null && Object.hasOwn(COLOURS, halves[1]!) && Object.hasOwn(COLOURS, halves[2]!)) {
    return true;
  }
  // A core may also be known by its number, printed on it.
  if (/^\d+$/u.test(colour)) {
    return true;
  }
  reader.problem(
    {
      rule: 'name-unknown',
      ...texts.valueUnknown(colour, 'colour code of IEC 60757', Object.keys(COLOURS), undefined),
    },
    reader.span(node, property, index),
  );
  return false;
}

export function lowerEquipment(reader: Reader, block: ast.EquipmentBlock): Equipment {
  const inlets: Inlet[] = [];
  const outlets: Outlet[] = [];
  const ports: Port[] = [];
  const lans: LanPort[] = [];
  const supervises: Supervises[] = [];
  const crossings: Crossing[] = [];
  const cautions: string[] = [];
  const equipment: Mutable<Equipment> = {
    kind: 'equipment',
    name: block.name,
    ...reader.optionalText('title', block.title),
    role: 'other',
    inlets,
    outlets,
    ports,
    lans,
    supervises,
    crossings,
    cautions,
  };
  for (const fact of block.facts) {
    switch (fact.$type) {
      case 'RoleFact':
        reader.mark('role', fact);
        equipment.role = reader.choice(ROLES, 'role', fact, 'value', fact.value) ?? equipment.role;
        break;
      case 'InletDefinition':
        if (fact.name !== undefined) {
          reader.mark(`inlet/${fact.name}`, fact);
          reader.mark(`inlet/${fact.name}/name`, fact, 'name');
          inlets.push(lowerInlet(reader, fact));
        }
        break;
      case 'OutletDefinition':
        if (fact.name !== undefined) {
          reader.mark(`outlet/${fact.name}`, fact);
          reader.mark(`outlet/${fact.name}/name`, fact, 'name');
          reader.mark(`outlet/${fact.name}/class-2`, fact, 'class2');
          reader.mark(`outlet/${fact.name}/protected`, fact, 'protection');
          reader.mark(`outlet/${fact.name}/curve`, fact, 'curve');
          outlets.push(lowerOutlet(reader, fact, block.name));
        }
        break;
      case 'PortDefinition':
        if (fact.name !== undefined) {
          reader.mark(`port/${fact.name}`, fact);
          reader.mark(`port/${fact.name}/name`, fact, 'name');
          reader.mark(`port/${fact.name}/type`, fact, 'busType');
          ports.push(lowerPort(reader, fact));
        }
        break;
      case 'LanDefinition':
        if (fact.name !== undefined) {
          reader.mark(`lan/${fact.name}`, fact);
          reader.mark(`lan/${fact.name}/name`, fact, 'name');
          lans.push(lowerLan(reader, fact));
        }
        break;
      case 'SupervisesFact': {
        reader.mark(`supervises/${supervises.length}`, fact);
        const role = reader.choice(ROLES, 'role', fact, 'role', fact.role);
        const port = reader.reference(fact.port, ['port', 'lan'], block.name);
        const upTo = reader.count(fact, 'limit', fact.limit);
        if (fact.port === undefined) {
          reader.problem(
            {
              rule: 'syntax-error',
              ...texts.missing('The port', 'Write "via" and the port over which it finds them.'),
            },
            reader.span(fact),
          );
        }
        if (role !== undefined && port !== undefined) {
          supervises.push({ role, port, ...(upTo === undefined ? {} : { upTo }) });
        }
        break;
      }
      case 'CrossingFact': {
        reader.mark(`crossing/${crossings.length}`, fact);
        const from = reader.reference(fact.from, ['port', 'lan'], block.name);
        const to = reader.reference(fact.to, ['port', 'lan'], block.name);
        if (from !== undefined && to !== undefined) {
          crossings.push({ how: crossingOf(fact.how), from, to, renumbered: fact.renumbered });
        }
        break;
      }
      case 'CautionFact':
        cautions.push(reader.text(fact.text) ?? '');
        break;
      case 'PoeBudgetFact':
        reader.mark('poe-budget', fact);
        equipment.poeBudgetW = reader.number(fact, 'value', fact.value, 'power');
        break;
      case 'ExtendsFact':
        reader.mark('extends', fact);
        equipment.extends = reader.reference(fact.base, ['equipment']);
        break;
      case 'DeprecatedFact': {
        reader.mark('deprecated', fact);
        const replacedBy = reader.reference(fact.replacement, ['equipment']);
        equipment.deprecated = {
          why: reader.text(fact.text) ?? '',
          ...(replacedBy === undefined ? {} : { replacedBy }),
        };
        break;
      }
    }
  }
  reportTwice(
    reader,
    [...inlets, ...outlets, ...ports, ...lans].map((one) => one.name),
    (index) => {
      const definitions = block.facts.filter(
        (fact) =>
          fact.$type === 'InletDefinition' ||
          fact.$type === 'OutletDefinition' ||
          fact.$type === 'PortDefinition' ||
          fact.$type === 'LanDefinition',
      );
      const name = [...inlets, ...outlets, ...ports, ...lans][index]!.name;
      const again = definitions.filter((one) => one.name === name)[1];
      return again === undefined ? undefined : reader.span(again, 'name');
    },
  );
  return defined(equipment) as Equipment;
}

/** The way of crossing, also where its word was misspelt and read as what was meant. */
function crossingOf(word: string): Crossing['how'] {
  const ways = ['relays', 'repeats', 'passes'] as const;
  const meant = nearNames(word, ways, 1)[0];
  return ways.find((way) => way === meant) ?? 'relays';
}

/** Reports a name that stands twice among the members of one declaration. */
export function reportTwice(
  reader: Reader,
  names: readonly string[],
  spanOf: (index: number) => ReturnType<Reader['span']>,
): void {
  const seen = new Set<string>();
  names.forEach((name, index) => {
    if (seen.has(name)) {
      reader.problem(
        { rule: 'name-duplicate', ...texts.twice(`The name "${name}"`) },
        spanOf(index),
      );
    }
    seen.add(name);
  });
}

/** Sorts an inlet's, outlet's or way's bare figures by what their units measure. */
export function figuresOf(
  reader: Reader,
  node: ast.InletDefinition | ast.OutletDefinition | ast.WayLine,
): Pick<Inlet, 'voltage' | 'currentA' | 'powerVA' | 'powerW'> {
  const figures: Mutable<Pick<Inlet, 'voltage' | 'currentA' | 'powerVA' | 'powerW'>> = {};
  node.figures.forEach((written, index) => {
    const measure = reader.measure(
      node,
      'figures',
      written,
      ['voltage', 'current', 'power'],
      index,
    );
    if (measure === undefined) {
      return;
    }
    if (measure.dimension === 'voltage') {
      figures.voltage = {
        volts: measure.value,
        ...(measure.currentKind === undefined ? {} : { kind: measure.currentKind }),
      };
    } else if (measure.dimension === 'current') {
      figures.currentA = measure.value;
    } else if (measure.unit.apparent === true) {
      figures.powerVA = measure.value;
    } else {
      figures.powerW = measure.value;
    }
  });
  return figures;
}

function lowerInlet(reader: Reader, node: ast.InletDefinition): Inlet {
  return defined({
    name: node.name,
    ...figuresOf(reader, node),
    threePhase: node.threePhase,
    powerFactor: reader.number(node, 'powerFactor', node.powerFactor, 'count'),
    draws: reader.choice(DRAWS, 'kind of load', node, 'draws', node.draws),
    tolerancePercent: reader.number(node, 'tolerance', node.tolerance, 'ratio'),
    terminals: reader.labels(node.terminals),
    dedicated: node.dedicated,
    exposed: node.exposed,
    optional: node.optional,
    isolates: node.isolates,
    doubleInsulated: node.doubleInsulated,
    capacity: reader.count(node, 'capacity', node.capacity),
  }) as Inlet;
}

function lowerOutlet(reader: Reader, node: ast.OutletDefinition, equipment: string): Outlet {
  const ratedA = reader.number(node, 'protection', node.protection, 'current');
  const curve = reader.choice(CURVES, 'trip curve', node, 'curve', node.curve);
  return defined({
    name: node.name,
    ...figuresOf(reader, node),
    threePhase: node.threePhase,
    terminals: reader.labels(node.terminals),
    class2: node.class2,
    selv: node.selv,
    pelv: node.pelv,
    fromInlet: reader.reference(node.fromInlet, ['inlet'], equipment),
    regulationPercent: reader.number(node, 'regulation', node.regulation, 'ratio'),
    resistanceOhm: reader.number(node, 'resistance', node.resistance, 'resistance'),
    protection: ratedA === undefined ? undefined : defined({ ratedA, curve }),
    stored: node.stored,
    decoupled: node.decoupled,
    capacity: reader.count(node, 'capacity', node.capacity),
  }) as Outlet;
}

function lowerPort(reader: Reader, node: ast.PortDefinition): Port {
  const port: Mutable<Port> = {
    name: node.name,
    busType: reader.reference(node.busType, ['bustype']) ?? '',
    terminals: reader.labels(node.terminals),
    talksAs: reader.choice(TALKS, 'part on the bus', node, 'talksAs', node.talksAs),
    capacity: reader.count(node, 'capacity', node.capacity),
    screenTerminal:
      node.screenTerminal === undefined ? undefined : reader.labels([node.screenTerminal])[0],
  };
  for (const fact of node.facts) {
    switch (fact.$type) {
      case 'UnitLoadFact':
        port.unitLoad = reader.number(fact, 'value', fact.value, 'count');
        break;
      case 'PollFact':
        port.pollBytes = reader.number(fact, 'value', fact.value, 'size');
        port.replyBytes = reader.number(fact, 'reply', fact.reply, 'size');
        break;
      case 'GivesFact': {
        const voltage = reader.voltage(fact, 'value', fact.value);
        const limit = reader.measure(fact, 'limit', fact.limit, ['current', 'power']);
        if (voltage !== undefined) {
          port.gives = {
            voltage,
            ...(limit?.dimension === 'current' ? { limitA: limit.value } : {}),
            ...(limit?.dimension === 'power' ? { limitW: limit.value } : {}),
          };
        }
        break;
      }
      case 'TakesFact': {
        const taken = reader.measure(fact, 'value', fact.value, ['current', 'power']);
        if (taken !== undefined) {
          port.takes =
            taken.dimension === 'current' ? { currentA: taken.value } : { powerW: taken.value };
        }
        break;
      }
      case 'BiasFact': {
        const ohm = reader.number(fact, 'resistance', fact.resistance, 'resistance');
        const volts = reader.voltage(fact, 'value', fact.value)?.volts;
        if (ohm !== undefined && volts !== undefined) {
          port.bias = { ohm, volts };
        }
        break;
      }
      case 'RiseTimeFact':
        port.riseTimeS = reader.number(fact, 'value', fact.value, 'time');
        break;
      case 'ProcessFact':
        port.processS = reader.number(fact, 'value', fact.value, 'time');
        break;
      case 'TimeoutFact':
        port.timeoutS = reader.number(fact, 'value', fact.value, 'time');
        break;
      case 'RetriesFact':
        port.retries = reader.count(fact, 'value', fact.value);
        break;
      case 'MaxMasterFact':
        port.maxMaster = reader.count(fact, 'value', fact.value);
        break;
      case 'TerminatorFact':
        port.terminatorOhm = reader.number(fact, 'value', fact.value, 'resistance');
        break;
      case 'AddressedFact':
        port.addressedBy = reader.choice(
          ADDRESSED_BY,
          'way of addressing',
          fact,
          'value',
          fact.value,
        );
        break;
    }
  }
  return defined(port) as Port;
}

function lowerLan(reader: Reader, node: ast.LanDefinition): LanPort {
  const lan: Mutable<LanPort> = { name: node.name, httpsOnly: false };
  for (const fact of node.facts) {
    switch (fact.$type) {
      case 'DefaultFact':
        lan.defaultAddress = reader.address(fact, 'address', fact.address, 'prefixed');
        break;
      case 'HttpsFact':
        lan.httpsOnly = true;
        break;
      case 'CertificateFact':
        lan.certificate = reader.choice(CERTIFICATES, 'certificate', fact, 'value', fact.value);
        break;
      case 'TakesClassFact':
        lan.takesPoeClass = reader.count(fact, 'value', fact.value);
        break;
      case 'GivesClassFact':
        lan.givesPoeClass = reader.count(fact, 'value', fact.value);
        break;
    }
  }
  return defined(lan) as LanPort;
}
