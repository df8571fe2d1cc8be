/** Asking a host of the site by Modbus TCP which units it reaches: with consent alone. */
import { failureOf } from '../probe/connection.js';
import { askUnits } from '../probe/modbus.js';
import type { ModbusQuestion, UnitAnswer } from '../probe/modbus.js';
import { PAGE_PROBLEMS } from '../probe/page-visit.js';
import { neutralised } from '../report/neutral.js';
import { nearNames } from '../workbench/near-names.js';
import type { Observation } from '../workbench/observation-lines.js';
import { askedHost, hostNames } from '../workbench/on-site.js';
import type { AskedHost } from '../workbench/on-site.js';
import type { OpenSite } from '../workbench/open-site.js';
import type { Arguments } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import { onSiteTexts as texts } from './texts-on-site.js';

export interface Asked {
  readonly host: AskedHost;
  readonly question: ModbusQuestion;
  /** True where the units are those that the host must find, so that a count says something. */
  readonly isWhole: boolean;
}

export interface AskedUnit {
  readonly device: string | undefined;
  readonly answer: UnitAnswer;
}

export interface Answers extends Asked {
  readonly units: readonly AskedUnit[];
  /** Why the host could not be asked at all. */
  readonly failure: string | undefined;
}

/** Port 502 is registered for Modbus (IANA). */
const MODBUS_PORT = 502;
/** Common practice: a gateway gets time to serve its own masters between two requests. */
const PAUSE_MS = 100;
const MOST_UNIT = 247;

/** What the options ask for; undefined where they ask for nothing. */
export function askedIn(open: OpenSite, args: Arguments, timeoutMs: number): Asked | undefined {
  const text = args.values.get('modbus');
  if (text === undefined) {
    const needless = ['units', 'register', 'consent'].find((name) => args.values.has(name));
    if (needless !== undefined) {
      throw new CannotRun(texts.needlessWithoutModbus(needless));
    }
    return undefined;
  }
  if (args.values.get('consent') !== 'poll') {
    throw new CannotRun(texts.noConsent);
  }
  const [name = '', portText] = text.split(':');
  const host = askedHost(open, name);
  if (host === undefined) {
    throw new CannotRun(texts.unknownHost(name, nearNames(name, hostNames(open))));
  }
  const port = Number(portText ?? MODBUS_PORT);
  if (!Number.isInteger(port) || port < 1 || port > 65_535) {
    throw new CannotRun(texts.noPort(text));
  }
  const wanted = args.values.get('units');
  const units =
    wanted === undefined
      ? host.units.map(({ address }) => address).filter((unit) => unit >= 1 && unit <= MOST_UNIT)
      : unitsIn(wanted);
  if (units.length === 0) {
    throw new CannotRun(texts.noUnitsToAsk(name));
  }
  return {
    host,
    isWhole: wanted === undefined && units.length === host.units.length,
    question: {
      ...{ address: host.address, port, units, timeoutMs, pauseMs: PAUSE_MS },
      register: registerIn(args),
    },
  };
}

export async function askHost(asked: Asked): Promise<Answers> {
  try {
    const answers = await askUnits(asked.question);
    return {
      ...asked,
      failure: undefined,
      units: answers.map((answer) => ({ device: deviceOf(asked, answer.unit), answer })),
    };
  } catch (error) {
    return { ...asked, units: [], failure: PAGE_PROBLEMS[failureOf(error).problem] };
  }
}

/** A count of all that must be found, and each that was not. */
export function askedObservations(answers: Answers, today: string): readonly Observation[] {
  if (answers.failure !== undefined) {
    return [];
  }
  const subject = answers.host.device;
  const found = answers.units.filter(({ answer }) => answer.found);
  return [
    ...(answers.isWhole
      ? [
          {
            kind: 'observed' as const,
            subject,
            seen: { how: 'finds' as const, count: found.length },
            on: today,
          },
        ]
      : []),
    ...answers.units.flatMap(({ device, answer }): readonly Observation[] =>
      answer.found || device === undefined
        ? []
        : [{ kind: 'observed', subject, seen: { how: 'misses', device }, on: today }],
    ),
  ];
}

export function askedText({ host, question, units, failure }: Answers): string {
  return `${[
    texts.modbusHeading(host.subject, question.address, question.port),
    `  ${texts.pollCaution}`,
    ...(failure === undefined ? [] : [`  - ${texts.modbusFailed(failure)}`]),
    ...units.map(({ device, answer }) => {
      const told = Object.values(answer.identification).join(' ');
      return `  ${[
        `${texts.unitLine(answer.unit, device)}: ${answer.found ? texts.unitFound : texts.unitMissing}`,
        ...(told === '' ? [] : [neutralised(told)]),
        ...(answer.register === undefined
          ? []
          : [texts.registerValue(question.register, answer.register)]),
        ...(answer.objection === undefined ? [] : [answer.objection]),
      ].join(', ')}`;
    }),
  ].join('\n')}\n`;
}

export function askedJson({ host, question, units, failure }: Answers) {
  return {
    subject: host.subject,
    address: question.address,
    port: question.port,
    register: question.register,
    failure: failure ?? null,
    units: units.map(({ device, answer }) => ({
      unit: answer.unit,
      device: device ?? null,
      found: answer.found,
      identification: answer.identification,
      value: answer.register ?? null,
      objection: answer.objection ?? null,
    })),
  };
}

function deviceOf({ host }: Asked, unit: number): string | undefined {
  const named = host.units.filter(({ address }) => address === unit);
  return named.length === 1 ? named[0]!.device : undefined;
}

function unitsIn(text: string): readonly number[] {
  const units = text.split(',').flatMap((part) => {
    const range = /^(\d{1,3})(?:-(\d{1,3}))?$/u.exec(part.trim());
    const first = Number(range?.[1]);
    const last = Number(range?.[2] ?? range?.[1]);
    if (range === null || first < 1 || last > MOST_UNIT || first > last) {
      throw new CannotRun(texts.noUnits(text));
    }
    return Array.from({ length: last - first + 1 }, (_, index) => first + index);
  });
  return [...new Set(units)];
}

function registerIn(args: Arguments): number {
  const text = args.values.get('register') ?? '0';
  if (!/^\d{1,5}$/u.test(text) || Number(text) > 65_535) {
    throw new CannotRun(texts.noRegister(text));
  }
  return Number(text);
}
