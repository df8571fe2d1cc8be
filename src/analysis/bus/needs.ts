/** Lines of text that would make an unknown figure known: one catalogue for this folder. */
export const needs = {
  length: (landing: string) => `land ${landing} 10 m`,
  ringLength: 'ring 10 m',
  runCable: (bus: string, busType: string) => `bus ${bus} : ${busType} using CABLE`,
  cores: (cable: string) => `cable ${cable} { cores 2 x 0.75 mm2 class 5 }`,
  coresInTable: (cable: string) =>
    `cable ${cable} { cores 2 x 0.75 mm2 class 5 } with a size and class of IEC 60228, or a gauge`,
  bias: (equipment: string, port: string) =>
    `equipment ${equipment} { port ${port} … { bias 560 ohm 5 VDC } }`,
  someBias: 'bias 560 ohm 5 VDC in the port that biases the line',
  terminateOhm: (busType: string) => `bustype ${busType} { terminate both-ends 120 ohm }`,
  terminated: (landing: string) => `land ${landing} terminated`,
  secondLanding: (bus: string) => `a second landing in bus ${bus}`,
  oneLoop: (bus: string) => `bus ${bus} with at most one loop`,
  rate: (busType: string) => `bustype ${busType} { signal rs485 { rate 9600 baud } }`,
  poll: (equipment: string, port: string) =>
    `equipment ${equipment} { port ${port} … { poll 8 bytes reply 8 bytes } }`,
  polled: (busType: string) => `bustype ${busType} { scan within 1 s by poll }`,
  patience: (equipment: string, port: string) =>
    `equipment ${equipment} { port ${port} … { timeout 1 s  retries 2 } }`,
  talker: (bus: string, as: 'controller' | 'responder') =>
    `a landing in bus ${bus} of a port as ${as}`,
} as const;
