/** How much a change asks of the people on site. */

/** From strict to lenient; see docs/review.md. */
export type ChangeClass =
  'safety' | 'rewire' | 'readdress' | 'renetwork' | 'material' | 'budget' | 'documentation';

export interface Classified {
  readonly kind: string;
  readonly how: 'added' | 'removed' | 'changed';
  readonly path: readonly string[];
  /** Of a template: whether anything in either version is of it. */
  readonly isUsed: boolean;
  /** Of a bus: whether the order of its landings is the wiring. */
  readonly isOrdered: boolean;
}

/** The class of one change. What this table does not know is judged strictly, as wiring. */
export function classOf(change: Classified): ChangeClass {
  const first = change.path[0];
  const last = change.path.at(-1);
  if (!change.isUsed || last === 'title' || last === 'doc') {
    return 'documentation';
  }
  if (last === 'existing') {
    return 'material';
  }
  if (last === 'covered' || last === 'divided') {
    return 'safety';
  }
  switch (change.kind) {
    case 'board':
    case 'isolator':
      return 'safety';
    case 'feed':
      return ofFeed(change, first);
    case 'bus':
      return ofRun(change);
    case 'device':
      return ofDevice(change, first);
    case 'network':
      return 'renetwork';
    case 'equipment':
      return ofEquipment(first);
    case 'cable':
      return 'material';
    case 'bustype':
      return ofBusType(first);
    case 'site':
      return ofSettings(first);
    case 'area':
      return last === 'levelM' || change.path.includes('atM') ? 'budget' : 'documentation';
    case 'zone':
    case 'accept':
    case 'observed':
      return 'documentation';
    default:
      return 'rewire';
  }
}

function ofFeed(change: Classified, first: string | undefined): ChangeClass {
  return first === undefined || first === 'from' || first === 'and' ? 'safety' : ofRun(change);
}

function ofRun({ path, isOrdered }: Classified): ChangeClass {
  const last = path.at(-1)!;
  if (['lengthM', 'lengthParameter', 'lastM', 'cable'].includes(last)) {
    return 'material';
  }
  return last === 'from' && !isOrdered ? 'material' : 'rewire';
}

function ofDevice({ path }: Classified, first: string | undefined): ChangeClass {
  if (first === 'inletLines') {
    const last = path.at(-1);
    return last === 'lengthM' || last === 'cable' ? 'material' : 'safety';
  }
  if (first === 'addresses' || first === 'main') {
    return 'readdress';
  }
  return 'rewire';
}

function ofEquipment(first: string | undefined): ChangeClass {
  switch (first) {
    case 'inlets':
    case 'outlets':
      return 'safety';
    case undefined:
    case 'ports':
    case 'crossings':
    case 'lans':
      return 'rewire';
    default:
      return 'budget';
  }
}

function ofBusType(first: string | undefined): ChangeClass {
  if (first === 'addresses') {
    return 'readdress';
  }
  return ['conductors', 'polarised', 'shape', 'terminate', 'screenBonded'].includes(
    first ?? 'shape',
  )
    ? 'rewire'
    : 'budget';
}

function ofSettings(first: string | undefined): ChangeClass {
  return ['voltageDropLimitPercent', 'conductorTemperatureC', 'estimate'].includes(first ?? '')
    ? 'budget'
    : 'documentation';
}
