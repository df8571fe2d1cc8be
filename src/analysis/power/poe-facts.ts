/** The facts of power over network cables: a switch's budget, the voltage at a powered device. */
import type { Fact } from '../../model/finding.js';
import type { Device } from '../../model/records.js';
import type { Site } from '../../model/site.js';
import { withoutRounding } from '../bus/limits.js';
import { term } from '../working.js';
import { atLeast, atMost, byName, unknownFact } from './fact-shapes.js';
import { poeBudgetOf, poeLinksInto, poeVoltageOf } from './poe.js';
import type { PoeBudget, PoeLink, PoeVoltage } from './poe.js';
import { POWER_SOURCES } from './sources.js';
import { judgedTemperature, temperatureTerm } from './temperature.js';
import { powerTexts } from './texts.js';

/** `load` and `spare` of a switch's budget in W, `voltage` at each socket that takes power. */
export function factsOfPoe(site: Site, device: Device): readonly Fact[] {
  const budget = poeBudgetOf(site, device);
  return [
    ...(budget === undefined ? [] : budgetFacts(device, budget)),
    ...poeLinksInto(site, device).flatMap((link) => {
      const voltage = poeVoltageOf(site, link);
      return voltage === undefined ? [] : [voltageFact(site, link, voltage)];
    }),
  ];
}

function budgetFacts(device: Device, { budgetW, loadW, parts }: PoeBudget): readonly Fact[] {
  const subject = device.name;
  const load: Fact = {
    subject,
    fact: 'load',
    value: withoutRounding(loadW),
    unit: 'W',
    ...atMost(loadW, budgetW),
    basis: 'computed',
    source: POWER_SOURCES.poeLoad,
    terms: byName(parts.map(({ link, powerW }) => ({ subject: link.subject, powerW }))).map(
      ({ subject: name, powerW }) => term(name, powerW, 'W', 'computed'),
    ),
  };
  if (budgetW === undefined) {
    return [load, unknownFact(subject, 'spare', 'W', powerTexts.needsBudget(device.equipment))];
  }
  return [
    load,
    {
      subject,
      fact: 'spare',
      value: withoutRounding(budgetW - loadW),
      unit: 'W',
      basis: 'computed',
      source: POWER_SOURCES.spare,
      terms: [
        term('rating', withoutRounding(budgetW), 'W', 'stated'),
        term('load', withoutRounding(loadW), 'W', 'computed'),
      ],
    },
  ];
}

function voltageFact(site: Site, link: PoeLink, voltage: PoeVoltage): Fact {
  const { subject, given, taken } = link;
  if (voltage.kind === 'unknown') {
    return unknownFact(subject, 'voltage', 'V', voltage.gap.needs);
  }
  const { channel } = voltage;
  const common = { subject, fact: 'voltage', unit: 'V', source: POWER_SOURCES.poeVoltage } as const;
  const terms = [
    term('class taken', taken.number, '', 'stated'),
    term('class given', given?.number ?? '', '', 'stated'),
    term(`voltage of ${link.from ?? ''}`, given?.sourceMinimumV ?? 0, 'V', 'computed'),
    term('P', taken.deviceW, 'W', 'computed'),
    term('pairs', taken.pairs, '', 'computed'),
    term(`length to ${subject}`, withoutRounding(channel.lengthM), 'm', channel.basis),
    term(`R to ${subject}`, withoutRounding(channel.loopOhm), 'ohm', 'computed'),
    temperatureTerm(judgedTemperature(site)),
  ];
  const basis = channel.basis === 'estimated' ? 'estimated' : 'computed';
  if (voltage.kind === 'collapsed') {
    return {
      ...common,
      value: null,
      basis: 'computed',
      terms: [term('operating point', 'none', '', 'computed'), ...terms],
    };
  }
  return {
    ...common,
    value: withoutRounding(voltage.voltageV),
    ...atLeast(voltage.voltageV, taken.deviceMinimumV),
    basis,
    terms: [...terms, term(`I to ${subject}`, withoutRounding(voltage.currentA), 'A', 'computed')],
  };
}
