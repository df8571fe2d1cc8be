/** Rounds over a bus: dead devices by poll (Modbus over Serial Line V1.02), searching by token (ASHRAE 135 clause 9, constants read in an open implementation). */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deadRoundsOf } from '../../src/analysis/bus/dead-devices.js';
import { managersOf, tokenSearchOf } from '../../src/analysis/bus/token.js';
import { factOf } from '../../src/analysis/facts.js';
import { commissioningSheet } from '../../src/documents/commissioning/commissioning-sheet.js';
import { tablesOf } from '../../src/documents/document.js';
import { counted, expectMarked, siteOf } from '../support/site.js';

const numbers = (count: number): readonly number[] =>
  Array.from({ length: count }, (_, index) => index);

describe('a round with dead devices', () => {
  const polled = (units: number, patience = 'timeout 1 s  retries 2') =>
    siteOf(`
bustype Line { conductors 2  signal rs485 { rate 9600 baud }  scan within 10 s }
equipment Head { role zone-controller  port p : Line terminals A, B as controller { ${patience} } }
equipment Node { role sensor  port p : Line terminals A, B as responder { poll 8 bytes reply 25 bytes  process 20 ms } }
device H : Head
${numbers(units)
  .map((number) => `device N-${number} : Node`)
  .join('\n')}
bus line : Line {
  land H.p
${numbers(units)
  .map((number) => `  land N-${number}.p 5 m`)
  .join('\n')}
}
`).site;
  const termOf = (site: ReturnType<typeof polled>, name: string) =>
    factOf(site, 'line', 'scan-time')!.terms.find((term) => term.name === name)?.value;

  it('takes 7.9224 s where two of thirty do not answer, 1.975 s where all do (C7-dead)', () => {
    const site = polled(30);
    expect(factOf(site, 'line', 'scan-time')!.value).toBeCloseTo(1.975, 4);
    expect(termOf(site, 'round with two dead devices')).toBeCloseTo(7.9224, 4);
    expect(termOf(site, 'round with one dead device')).toBeCloseTo((1.975 + 7.9224) / 2, 4);
  });

  it('is not known where the controller does not say how long it waits', () => {
    const site = polled(3, 'timeout 1 s');
    expect(deadRoundsOf(site, site.buses.get('line')!)).toEqual({
      known: false,
      needs: 'equipment Head { port p … { timeout 1 s  retries 2 } }',
    });
    expect(termOf(site, 'round with one dead device')).toBeUndefined();
  });

  it('has no second dead device where there is only one device', () => {
    const site = polled(1);
    expect(termOf(site, 'round with one dead device')).toBeGreaterThan(3);
    expect(termOf(site, 'round with two dead devices')).toBeUndefined();
  });

  it('stands on the commissioning sheet, and only where it is known', () => {
    const tableOf = (site: ReturnType<typeof polled>) =>
      tablesOf(commissioningSheet(site)).find((table) => table.name === 'commissioning-rounds');
    expect(tableOf(polled(3, ''))).toBeUndefined();
    // Nothing is found here, so the sheet would not speak of rounds either.
    const sheet = siteOf(`
bustype Line { conductors 2  signal rs485 { rate 9600 baud } }
equipment Head { role zone-controller  port p : Line terminals A, B as controller { timeout 1 s  retries 2 }  supervises indoor-unit via p }
equipment Node { role indoor-unit  port p : Line terminals A, B as responder { poll 8 bytes reply 25 bytes  process 20 ms } }
device H : Head
device N-1 : Node
device N-2 : Node
bus line : Line { land H.p  land N-1.p 5 m  land N-2.p 5 m }
`).site;
    const row = tableOf(sheet)!.rows[0]!;
    expect(row.map((cell) => JSON.stringify(cell)).join(' ')).toContain('line');
    const values = row.flatMap((cell) =>
      typeof cell === 'object' && 'value' in cell ? [cell.value] : [],
    );
    // 2 exchanges of 65.8333 ms; 3 attempts of 8 characters, t3.5 and 1 s for each dead device.
    const attemptS = (8 * 11) / 9600 + (3.5 * 11) / 9600 + 1;
    expect(values[0]).toBeCloseTo(0.1316667, 6);
    expect(values[1]).toBeCloseTo(0.0658333 + 3 * attemptS, 6);
    expect(values[2]).toBeCloseTo(6 * attemptS, 6);
  });
});

describe('the search for a new port on a token bus', () => {
  const token = (addresses: readonly number[], maxMaster?: number, rate = 38_400) => `
bustype Line { conductors 2  controllers 128  address 0 .. 254  signal rs485 { rate ${rate} baud }  scan within 9 s by token }
equipment Head { role zone-controller  port p : Line terminals A, B as controller${maxMaster === undefined ? '' : ` { max-master ${maxMaster} }`} }
${addresses.map((address, index) => `device H-${index} : Head { address ${address} }`).join('\n')}
bus line : Line {
${addresses.map((_, index) => `  land H-${index}.p ${index === 0 ? '' : '5 m'}`).join('\n')}
}
`;
  const searchOf = (text: string) => {
    const { site } = siteOf(text);
    const managers = managersOf(site, site.buses.get('line')!);
    return tokenSearchOf(managers, { fastestS: 0.1, slowestS: 0.5 });
  };

  it.each([
    [127, 96, 480],
    [63, 32, 160],
    [31, 0, 0],
  ])(
    'with 32 ports and max-master %i asks %i addresses in vain: %d s (C8)',
    (maxMaster, unused, seconds) => {
      const { site } = siteOf(token(numbers(32), maxMaster));
      const terms = factOf(site, 'line', 'scan-time')!.terms;
      // The fastest round of 32 ports at 38400 baud takes 100 ms.
      expect(
        terms.find(({ name }) => name === 'a new port is found within, fastest rounds'),
      ).toEqual({
        name: 'a new port is found within, fastest rounds',
        value: seconds,
        unit: 's',
        basis: 'computed',
      });
      expect(terms.find(({ name }) => name.startsWith('addresses that'))!.value).toBe(unused);
    },
  );

  it('is assumed to go up to 127 where nothing is said', () => {
    expect(searchOf(token([0, 5]))).toMatchObject({ unusedAddresses: 122, basis: 'assumed' });
    expect(searchOf(token([0, 5], 10))).toMatchObject({ unusedAddresses: 5, basis: 'computed' });
  });

  it('asks every unused address that a walk from manager to manager finds', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.nat({ max: 40 }), { minLength: 1, maxLength: 8 }),
        fc.integer({ min: 40, max: 60 }),
        (addresses, maxMaster) => {
          const used = new Set(addresses);
          // Each manager walks on from its own address, around, until it meets one that is used.
          const walks = addresses.map((own) => {
            let asked = 0;
            for (
              let next = (own + 1) % (maxMaster + 1);
              !used.has(next);
              next = (next + 1) % (maxMaster + 1)
            ) {
              asked += 1;
            }
            return asked;
          });
          const managers = addresses.map((address) => ({ port: undefined!, address, maxMaster }));
          expect(tokenSearchOf(managers, { fastestS: 1, slowestS: 2 })!.unusedAddresses).toBe(
            Math.max(...walks),
          );
        },
      ),
      { numRuns: 1000 },
    );
  });

  it('never comes to a port above the max-master of another one: a warning there', () => {
    const site = expectMarked(`
bustype Line { conductors 2  controllers 8  address 0 .. 254  signal rs485 { rate 38400 baud }  scan within 1 s by token }
equipment Near { role zone-controller  port p : Line terminals A, B as controller { max-master 31 } }
equipment Wide { role zone-controller  port p : Line terminals A, B as controller { max-master 127 } }
device N-1 : Near { address 1 }
device W-1 : Wide { address 31 }
device W-2 : Wide { address 32 }
bus line : Line {
  land N-1.p
  land W-1.p 10 m
  land W-2.p 10 m
//     ^^^^^ scan-too-slow
}
`);
    const [finding] = counted(site.findings);
    expect(finding!.finding).toMatchObject({
      severity: 'warning',
      facts: [
        { fact: 'address', value: 32, unit: '' },
        { fact: 'max-master', value: 31, unit: '' },
      ],
    });
    expect(finding!.finding.what).toContain('to be verified');
  });

  it('that is too slow is a warning, because the times of the token are from memory', () => {
    const { findings } = siteOf(token(numbers(20)).replace('within 9 s', 'within 0.3 s'));
    expect(counted(findings).map(({ finding }) => [finding.rule, finding.severity])).toEqual([
      ['scan-too-slow', 'warning'],
    ]);
  });
});
