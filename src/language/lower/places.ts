/** The site's settings, areas, boards, isolators and devices. */
import type {
  AddressLine,
  Area,
  Board,
  Device,
  InletLine,
  Isolator,
  ParameterValue,
  Room,
  SiteSettings,
  Way,
} from '../../model/records.js';
import { CURVES, PHASES, SEVERITY_LEVELS, type SeverityLevel } from '../../model/values.js';
import type * as ast from '../generated/ast.js';
import { texts } from '../texts.js';
import { defined, type Reader } from './reader.js';
import { figuresOf, reportTwice } from './templates.js';

type Mutable<Record_> = { -readonly [Key in keyof Record_]: Record_[Key] };

/** What may feed something: a board's way or a device's outlet. */
export const powerOwners = ['board', 'device'] as const;
export const powerMembers = ['way', 'outlet'] as const;

export function lowerSite(reader: Reader, block: ast.SiteBlock): SiteSettings {
  const severities: { rule: string; level: SeverityLevel }[] = [];
  const settings: Mutable<SiteSettings> = {
    kind: 'site',
    name: block.name,
    ...reader.optionalText('title', block.title),
    severities,
  };
  for (const fact of block.facts) {
    switch (fact.$type) {
      case 'DrawingFact':
        reader.mark('drawing', fact);
        settings.drawing = reader.text(fact.text);
        break;
      case 'RevisionFact':
        reader.mark('revision', fact);
        settings.revision = reader.text(fact.text);
        break;
      case 'OwnerFact':
        reader.mark('owner', fact);
        settings.owner = reader.text(fact.text);
        break;
      case 'CreatorFact':
        settings.creator = reader.text(fact.text);
        break;
      case 'ApprovedFact':
        settings.approved = reader.text(fact.text);
        break;
      case 'IssuedFact':
        settings.issued = reader.date(fact, 'date', fact.date);
        break;
      case 'LimitFact':
        reader.mark('limit', fact);
        settings.voltageDropLimitPercent = reader.number(fact, 'value', fact.value, 'ratio');
        break;
      case 'TemperatureFact':
        reader.mark('temperature', fact);
        settings.conductorTemperatureC = reader.number(fact, 'value', fact.value, 'temperature');
        break;
      case 'SeverityFact': {
        const level = reader.choice(SEVERITY_LEVELS, 'severity', fact, 'level', fact.level);
        if (level !== undefined && fact.rule !== undefined) {
          reader.mark(`severity/${severities.length}`, fact);
          severities.push({ rule: fact.rule, level });
        }
        break;
      }
      case 'EstimateFact':
        settings.estimate = defined({
          factor: reader.number(fact, 'factor', fact.factor, 'count'),
          endsM: reader.number(fact, 'ends', fact.ends, 'length'),
        });
        break;
    }
  }
  return defined(settings) as SiteSettings;
}

export function lowerArea(reader: Reader, block: ast.AreaBlock): Area {
  const rooms: Room[] = [];
  for (const line of block.rooms) {
    if (line.name === undefined) {
      continue;
    }
    reader.mark(`room/${line.name}`, line);
    reader.mark(`room/${line.name}/name`, line, 'name');
    const x = reader.number(line, 'x', line.x, 'length');
    const y = reader.number(line, 'y', line.y, 'length');
    rooms.push({
      name: line.name,
      ...reader.optionalText('title', line.title),
      ...(x === undefined || y === undefined ? {} : { atM: { x, y } }),
    });
  }
  reportTwice(
    reader,
    rooms.map((room) => room.name),
    (index) => {
      const line = block.rooms.filter((room) => room.name === rooms[index]!.name)[1];
      return line && reader.span(line, 'name');
    },
  );
  return defined({
    kind: 'area' as const,
    name: block.name,
    ...reader.optionalText('title', block.title),
    levelM: reader.number(block, 'level', block.level, 'length'),
    rooms,
  }) as Area;
}

export function lowerBoard(reader: Reader, block: ast.BoardBlock): Board {
  const ways: Way[] = [];
  for (const line of block.ways) {
    if (line.name === undefined) {
      continue;
    }
    reader.mark(`way/${line.name}`, line);
    reader.mark(`way/${line.name}/name`, line, 'name');
    const { voltage, currentA } = figuresOf(reader, line);
    ways.push(
      defined({
        name: line.name,
        ...reader.optionalText('title', line.title),
        voltage,
        threePhase: line.threePhase,
        ratedA: currentA,
        curve: reader.choice(CURVES, 'trip curve', line, 'curve', line.curve),
        rcdA: reader.number(line, 'rcd', line.rcd, 'current'),
        poles: reader.count(line, 'poles', line.poles),
        phase: reader.choice(PHASES, 'phase', line, 'phase', line.phase),
        existing: line.existing,
      }) as Way,
    );
  }
  reportTwice(
    reader,
    ways.map((way) => way.name),
    (index) => {
      const line = block.ways.filter((way) => way.name === ways[index]!.name)[1];
      return line && reader.span(line, 'name');
    },
  );
  reader.mark('room', block, 'room');
  reader.mark('from', block, 'source');
  return defined({
    kind: 'board' as const,
    name: block.name,
    ...reader.optionalText('title', block.title),
    room: reader.room(block.room),
    from: reader.member(block.source, powerOwners, powerMembers, 'DB-1.W9'),
    existing: block.existing,
    ways,
  }) as Board;
}

export function lowerIsolator(reader: Reader, line: ast.IsolatorLine): Isolator | undefined {
  reader.mark('on', line, 'source');
  reader.mark('room', line, 'room');
  const on = reader.member(line.source, powerOwners, powerMembers, 'DB-1.W7');
  const room = reader.room(line.room);
  if (on === undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.missing(
          'What the isolator cuts',
          'Write "on" and the way or outlet, as in "on DB-1.W7".',
        ),
      },
      line.source === undefined ? reader.span(line) : undefined,
    );
    return undefined;
  }
  return defined({
    kind: 'isolator' as const,
    name: line.name,
    ...reader.optionalText('title', line.title),
    on,
    room,
    lockable: line.lockable,
    existing: line.existing,
  }) as Isolator;
}

export function lowerDevice(reader: Reader, block: ast.DeviceBlock): Device | undefined {
  reader.mark('equipment', block, 'equipment');
  reader.mark('room', block, 'room');
  const equipment = reader.reference(block.equipment, ['equipment', 'assembly']);
  const room = reader.room(block.room);
  const addresses: AddressLine[] = [];
  const inletLines: InletLine[] = [];
  const sets: ParameterValue[] = [];
  let main = block.main;
  reader.mark('main', block, 'main');
  for (const fact of block.facts) {
    switch (fact.$type) {
      case 'AddressFact': {
        const address = reader.count(fact, 'value', fact.value);
        const port = reader.reference(fact.port, ['port'], block.name);
        if (address !== undefined) {
          reader.mark(`address/${addresses.length}`, fact);
          reader.mark(`address/${addresses.length}/value`, fact, 'value');
          addresses.push({
            index: addresses.length,
            address,
            ...(port === undefined ? {} : { port }),
          });
        }
        break;
      }
      case 'InletLine': {
        const line = lowerInletLine(reader, fact, block.name, inletLines.length);
        if (line !== undefined) {
          inletLines.push(line);
        }
        break;
      }
      case 'MainFact':
        reader.mark('main', fact);
        main = true;
        break;
      case 'SetFact': {
        const value = reader.number(fact, 'value', fact.value, 'length');
        const cst = reader.span(fact, 'parameter');
        if (cst !== undefined && fact.parameter !== undefined) {
          reader.references.push({
            ...cst,
            name: fact.parameter,
            wants: ['parameter'],
            owner: block.name,
          });
          if (value !== undefined) {
            reader.mark(`set/${sets.length}`, fact);
            sets.push({ name: fact.parameter, value, unit: 'm' });
          }
        }
        break;
      }
    }
  }
  if (equipment === undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.missing(
          'The equipment',
          'Write a colon and its name, as in "device FC-1-01 : CassetteUnit".',
        ),
      },
      block.equipment === undefined ? reader.span(block, 'name') : undefined,
    );
    return undefined;
  }
  return defined({
    kind: 'device' as const,
    name: block.name,
    ...reader.optionalText('title', block.title),
    equipment,
    room,
    existing: block.existing,
    main,
    addresses,
    inletLines,
    sets: sets.length === 0 ? undefined : sets,
  }) as Device;
}

function lowerInletLine(
  reader: Reader,
  line: ast.InletLine,
  device: string,
  index: number,
): InletLine | undefined {
  const inlet = reader.reference(line.inlet, ['inlet'], device);
  const from = reader.member(line.source, powerOwners, powerMembers, 'DB-1.W7');
  const cable = reader.reference(line.cable, ['cable']);
  const lengthM = reader.number(line, 'lengths', line.lengths[0], 'length', 0);
  if (inlet === undefined || from === undefined) {
    return undefined;
  }
  reader.mark(`inlet/${index}`, line);
  reader.mark(`inlet/${index}/name`, line, 'inlet');
  reader.mark(`inlet/${index}/from`, line, 'source');
  reader.mark(`inlet/${index}/cable`, line, 'cable');
  reader.mark(`inlet/${index}/length`, line, 'lengths', 0);
  return defined({
    index,
    inlet,
    from,
    cable,
    lengthM,
    covered: line.covered,
    existing: line.existing,
  }) as InletLine;
}
