/** What the pages of the bus rules do not show: precedence, last straws, limits met exactly. */
import { describe, expect, it } from 'vitest';
import { counted, expectMarked, siteOf } from '../support/site.js';

const templates = `
bustype Field {
  conductors 2 polarised
  shape chain
  drops 4
  length total 100 m
  length stub 2 m
  controllers 2
  cable 0.75 mm2 .. 1.5 mm2 screened
  terminate both-ends 120 ohm
}
bustype Wall { conductors 2  shape chain  drops 4  power 15 VDC }
cable Good { cores 2 x 0.75 mm2 class 5  colours BK, WH  screened }
cable Red { cores 2 x 1 mm2 class 5  colours RD, BU  screened }
cable Plain { cores 2 x 0.75 mm2 class 5  colours GY, PK }
equipment Panel { role zone-controller  port f : Field terminals A, B as controller { gives 5 VDC } }
equipment Both {
  role sensor
  port f : Field terminals A, B as responder
  port w : Wall terminals C, D as responder { gives 15 VDC }
}
equipment Room { role room-controller  port w : Wall terminals C, D as controller { takes 20 mA } }
equipment Box {
  role junction
  port p : Field terminals A, B as neither
  port q : Field terminals C, D as neither
  port r : Field terminals E, F as neither
  passes p to q
  passes p to r
}
equipment Amp {
  role repeater
  port p : Field terminals A, B as neither
  port q : Field terminals C, D as neither
  repeats p to q
}
device P : Panel
device B-1 : Both
device B-2 : Both
device B-3 : Both
device R-1 : Room
device J : Box
device X : Amp
`;
const others = { 'common.ferrule': templates };

/** The devices of the templates that a test leaves out of its buses are no part of it. */
function marked(text: string): void {
  const used = new Set([...text.matchAll(/land ([\w-]+)\./gu)].map((match) => match[1]));
  const kept = templates
    .split('\n')
    .filter((line) => !line.startsWith('device ') || used.has(/^device ([\w-]+)/u.exec(line)![1]))
    .join('\n');
  expectMarked(`use "./common.ferrule"\n${text}`, { ...others, 'common.ferrule': kept });
}

function subjects(text: string): string[] {
  const { findings } = siteOf(`use "./common.ferrule"\n${text}`, others);
  return counted(findings).map(({ finding }) => `${finding.rule} ${finding.subject}`);
}

describe('one cause, one finding', () => {
  it('a landing of the wrong type is judged by no other rule', () => {
    marked(`
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.f 10 m
  land B-2.w 10 m
//     ^^^^^ bus-type-mismatch
}
`);
  });

  it('a controller or source on the wrong bus is not missed there as well', () => {
    marked(`
bus w : Wall using Plain {
  land B-1.w
  land P.f 10 m
//     ^^^ bus-type-mismatch
}
bus f : Field using Good {
  land R-1.w terminated bonded
//     ^^^^^ bus-type-mismatch
  land B-1.f 5 m terminated
}
`);
  });

  it('a name that means nothing hides who is missing on its bus', () => {
    marked(`
bus f : Field using Good {
  land B-1.f terminated bonded
  land B-2.f 10 m
  land Nobody.f 10 m terminated
//     ^^^^^^ name-unknown
}
`);
  });

  it('a bus of an unknown type is judged by nothing that needs it', () => {
    marked(`
bus f : Feild using Plain {
//      ^^^^^ name-unknown
  land P.f
  land B-1.f 500 m
}
`);
  });

  it('a wrong shape hides where terminators belong', () => {
    marked(`
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.f 10 m {
    spur 1 m {
      land B-2.f
      land X.p 5 m terminated
//         ^^^ bus-shape-unsupported
    }
  }
  land B-3.f 5 m terminated
}
`);
  });

  it('a misplaced terminator does not overfill its terminal as well', () => {
    marked(`
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.f 10 m terminated
//                ^^^^^^^^^^ terminator-misplaced
  land B-2.f 10 m
}
`);
  });

  it('a wrong landing of a port is none of its two lines', () => {
    marked(`
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.w 10 m
//     ^^^^^ bus-type-mismatch
  land B-1.f 10 m terminated
}
bus w : Wall using Plain { land B-1.w  land R-1.w 5 m }
`);
  });
});

describe('the last straw', () => {
  it('is the landing that goes over the limit, not the last one', () => {
    marked(`
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.f 60 m
  land B-2.f 41 m
//           ^^^^ bus-too-long
  land B-3.f 20 m terminated
}
`);
  });

  it('is nowhere where a limit is met exactly, decimals included', () => {
    marked(`
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.f 33.3 m
  land B-2.f 33.3 m
  land B-3.f 33.4 m terminated
}
`);
  });

  it('may stand in another bus of the same segment, and is reported once', () => {
    expect(
      subjects(`
bus a : Field using Good { land P.f terminated bonded  land J.p 60 m }
bus b : Field using Good { land J.q  land B-1.f 30 m  land B-2.f 20 m terminated }
`).filter((one) => one.startsWith('bus-too-long')),
    ).toEqual(['bus-too-long b']);
  });

  it('does not count beyond a repeater', () => {
    expect(
      subjects(`
bus a : Field using Good { land P.f terminated bonded  land X.p 60 m terminated }
bus b : Field using Good { land X.q terminated bonded  land B-1.f 60 m terminated }
`).filter((one) => one.startsWith('bus-') || one.startsWith('terminator-')),
    ).toEqual([]);
  });
});

describe('shapes', () => {
  it('a junction that joins three cables is a branch on a chain', () => {
    expect(
      subjects(`
bus a : Field using Good { land P.f terminated bonded  land J.p 10 m }
bus b : Field using Good { land J.q  land B-1.f 10 m terminated }
bus c : Field using Good { land J.r  land B-2.f 10 m }
`).filter((one) => one.startsWith('bus-') || one.startsWith('terminator-')),
    ).toEqual(['bus-shape-unsupported c']);
  });

  it.each([
    [
      'star',
      'land J.p { spur 5 m { land P.f }  spur 5 m { land B-1.f }  spur 5 m { land B-2.f } }',
      true,
    ],
    ['star', 'land J.p { spur 5 m { land P.f }  spur 5 m { land B-1.f } }', true],
    ['star', 'land P.f  land B-1.f 5 m  land B-2.f 5 m', false],
    [
      'star',
      'land B-3.f { spur 5 m { land P.f }  spur 5 m { land B-1.f }  spur 5 m { land B-2.f } }',
      false,
    ],
    [
      'tree',
      'land J.p { spur 5 m { land P.f }  spur 5 m { land B-1.f }  spur 5 m { land B-2.f } }',
      true,
    ],
    ['tree', 'land P.f  land B-1.f 5 m  ring 5 m', false],
    ['ring', 'land P.f  land B-1.f 5 m  land B-2.f 5 m  ring 5 m', true],
    ['ring', 'land P.f  land B-1.f 5 m  land B-2.f 5 m', false],
    ['free', 'land P.f  land B-1.f 5 m  land B-2.f 5 m  ring 5 m', true],
    [
      'chain',
      'land J.p { spur 5 m { land P.f }  spur 5 m { land B-1.f }  spur 5 m { land B-2.f } }',
      false,
    ],
    ['chain', 'land J.p { spur 5 m { land P.f }  spur 5 m { land B-1.f } }', true],
  ])('where a %s is allowed: %s', (shape, landings, isAllowed) => {
    const { findings } = siteOf(
      `use "./common.ferrule"\nbus f : Field using Good { ${landings} }\n`,
      {
        'common.ferrule': templates.replace('shape chain', `shape ${shape}`),
      },
    );
    const raised = findings.filter(({ finding }) => finding.rule === 'bus-shape-unsupported');
    expect(raised.length).toBe(isAllowed ? 0 : 1);
  });
});

describe('sources', () => {
  it('are counted over what devices join', () => {
    expect(
      subjects(`
bus a : Field using Good { land P.f terminated bonded  land J.p 10 m }
bus b : Field using Good { land J.q  land P-2.f 10 m terminated }
device P-2 : Panel
`).filter((one) => one.startsWith('bus-source')),
    ).toEqual(['bus-source-duplicate b']);
  });

  it('are wanted where a port takes power or the type carries it', () => {
    expect(
      subjects('bus w : Wall using Plain { land R-1.w }').filter((one) =>
        one.startsWith('bus-source'),
      ),
    ).toEqual(['bus-source-missing w']);
    expect(
      subjects('bus f : Field using Good { land B-1.f  land B-2.f 5 m }').filter((one) =>
        one.startsWith('bus-source'),
      ),
    ).toEqual([]);
  });
});

describe('cores', () => {
  it('are compared by position, so different cables may meet', () => {
    marked(`
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.f 10 m using Red
  land B-2.f 10 m using Red cores BU, RD
//                              ^^^^^^ conductors-swapped
  land B-3.f 10 m cores BK, WH terminated
}
`);
  });

  it('that are swapped at every landing agree', () => {
    marked(`
bus f : Field using Good {
  land P.f terminated bonded cores WH, BK
  land B-1.f 10 m cores WH, BK
  land B-2.f 10 m cores WH, BK terminated
}
`);
  });
});

describe('screens', () => {
  it('that an unscreened piece parts need a bond each', () => {
    expect(
      subjects(`
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.f 10 m
  land B-2.f 10 m using Plain
  land B-3.f 10 m terminated
}
`).filter((one) => one.startsWith('screen-')),
    ).toEqual(['screen-unbonded f']);
  });

  it('at both ends where the type asks for it', () => {
    const { findings } = siteOf(
      `use "./common.ferrule"
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.f 10 m bonded
  land B-2.f 10 m terminated
}
`,
      {
        'common.ferrule': templates.replace('shape chain', 'shape chain  screen bonded both-ends'),
      },
    );
    expect(
      findings
        .map(({ finding }) => `${finding.rule} ${finding.subject}`)
        .filter((one) => one.startsWith('screen-')),
    ).toEqual(['screen-bonded-twice B-1.f', 'screen-unbonded B-2.f']);
  });
});

describe('terminals', () => {
  it('hold what the port states', () => {
    const text = `use "./common.ferrule"
bus f : Field using Good {
  land P.f terminated bonded
  land B-1.f 10 m
  land B-2.f 10 m terminated
}
`;
    const overfilled = (capacity: string) =>
      siteOf(text, {
        'common.ferrule': templates.replace(
          'terminals A, B as responder',
          `terminals A, B as responder${capacity}`,
        ),
      })
        .findings.filter(({ finding }) => finding.rule === 'terminal-overfilled')
        .map(({ finding }) => finding.subject);
    expect(overfilled('')).toEqual([]);
    expect(overfilled(' capacity 1')).toEqual(['B-1.f', 'B-2.f']);
  });

  it('of an outlet hold two feeds where nothing is stated', () => {
    const { findings } = siteOf(`
equipment Supply { role supply  outlet out 24 VDC 2 A terminals V0, V1 }
equipment Load { role meter  inlet in 24 VDC 0.1 A terminals V0, V1 }
cable Wire { cores 2 x 1.5 mm2 class 5 }
device S : Supply
device L-1 : Load { inlet in from S.out }
device L-2 : Load { inlet in from S.out }
device L-3 : Load
feed F from S.out using Wire { land L-3.in 5 m }
`);
    expect(
      findings
        .filter(({ finding }) => finding.rule === 'terminal-overfilled')
        .map(({ finding }) => [finding.subject, finding.at.declaration]),
    ).toEqual([['S.out', 'F']]);
  });
});

describe('estimated lengths', () => {
  it('are hinted at in buses, feeds, rings and second outlets alike', () => {
    const { findings } = siteOf(`
area Low { room One at 0 m, 0 m  room Two at 10 m, 0 m }
bustype Free { conductors 2  shape free }
cable Wire { cores 2 x 1.5 mm2 class 5 }
equipment Supply { role supply  outlet out 24 VDC 2 A terminals V0, V1 decoupled }
equipment Load {
  role meter
  inlet in 24 VDC 0.1 A terminals V0, V1
  port p : Free terminals A, B as controller
}
device S : Supply in One
device T : Supply in One
device L : Load in Two
device M : Load in One
bus f : Free using Wire { land L.p  land M.p  ring }
feed F from S.out and T.out using Wire { land L.in  land M.in 12 m }
`);
    expect(
      findings
        .filter(({ finding }) => finding.rule === 'length-estimated')
        .map(({ finding }) => `${finding.subject} ${finding.at.declaration} ${finding.at.part}`),
    ).toEqual(['M.p f land/1/target', 'M.p f ring', 'M.in F and', 'L.in F land/0/target']);
  });
});
