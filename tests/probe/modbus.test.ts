/** Questions by Modbus TCP, put to the server of a library that is not ours (modbus-serial). */
import { createServer, type AddressInfo, type Socket } from 'node:net';
import { ServerTCP } from 'modbus-serial';
import { afterEach, expect, it } from 'vitest';
import { ConnectionFailure } from '../../src/probe/connection.js';
import { askUnits } from '../../src/probe/modbus.js';

const HOST = '127.0.0.1';
const closing: (() => Promise<unknown>)[] = [];

afterEach(async () => {
  await Promise.all(closing.splice(0).map((close) => close()));
});

const ask = (port: number, units: readonly number[], register = 0) =>
  askUnits({ address: HOST, port, units, register, timeoutMs: 500, pauseMs: 0 });

it('reads identification and one register of each unit, and hears who does not answer', async () => {
  const reads: string[] = [];
  const port = await gateway({
    getHoldingRegister: (address: number, unit: number) => {
      reads.push(`${unit}:${address}`);
      if (unit === 3) {
        throw objection(11);
      }
      if (unit === 4) {
        throw objection(2);
      }
      return 1000 + unit;
    },
    readDeviceIdentification: (unit: number) => ({
      0: 'Example works',
      1: `Module ${unit}\u001b[31m`,
      2: 'V1.2',
    }),
  });
  const answers = await ask(port, [1, 3, 4, 2], 7);
  expect(
    answers.map(({ unit, found, register, objection }) => [unit, found, register, objection]),
  ).toEqual([
    [1, true, 1001, undefined],
    [3, false, undefined, 'gateway target device failed to respond'],
    [4, true, undefined, 'illegal data address'],
    [2, true, 1002, undefined],
  ]);
  expect(answers[0]!.identification).toEqual({
    vendor: 'Example works',
    product: 'Module 1?[31m',
    revision: 'V1.2',
  });
  expect(reads).toEqual(['1:7', '3:7', '4:7', '2:7']);
});

it('takes a unit without identification for found, and never writes', async () => {
  const functions = new Set<number>();
  const port = await tcpServer((socket) =>
    socket.on('data', (frame: Buffer) => {
      functions.add(frame[7]!);
      const answer = frame[7] === 3 ? [3, 2, 0x12, 0x34] : [0xab, 1];
      socket.write(Buffer.concat([header(frame, answer.length), Buffer.from(answer)]));
    }),
  );
  expect(await ask(port, [5])).toEqual([
    { unit: 5, found: true, identification: {}, register: 0x1234, objection: undefined },
  ]);
  expect([...functions].sort()).toEqual([0x03, 0x2b]);
});

it('does not take a late answer for the next unit, and never waits on two at once', async () => {
  let openRequests = 0;
  let most = 0;
  const port = await tcpServer((socket) =>
    socket.on('data', (frame: Buffer) => {
      most = Math.max(most, (openRequests += 1));
      const answer = frame[7] === 3 ? [3, 2, 0, frame[6]!] : [0xab, 1];
      const send = () => {
        openRequests -= 1;
        if (!socket.destroyed) {
          socket.write(Buffer.concat([header(frame, answer.length), Buffer.from(answer)]));
        }
      };
      if (frame[6] === 8) {
        openRequests -= 1;
        setTimeout(() => !socket.destroyed && socket.write(frame), 600);
      } else {
        send();
      }
    }),
  );
  const answers = await ask(port, [7, 8, 9]);
  expect(answers.map(({ unit, found, register }) => [unit, found, register])).toEqual([
    [7, true, 7],
    [8, false, undefined],
    [9, true, 9],
  ]);
  expect(most).toBe(1);
});

it.each([
  ['garbage', Buffer.from('HTTP/1.1 400 Bad Request\r\n\r\n')],
  ['another transaction', Buffer.from([9, 9, 0, 0, 0, 5, 1, 3, 2, 0, 1])],
  ['an empty frame', Buffer.from([0, 1, 0, 0, 0, 0])],
])('takes %s for no unit', async (_name, said) => {
  const port = await tcpServer((socket) => socket.on('data', () => socket.write(said)));
  expect((await ask(port, [1]))[0]).toMatchObject({ unit: 1, found: false });
});

it('says that nothing listens', async () => {
  const port = await tcpServer(() => undefined);
  await Promise.all(closing.splice(0).map((close) => close()));
  await expect(ask(port, [1])).rejects.toThrow(ConnectionFailure);
});

/** An error as the library turns it into an exception of the protocol. */
function objection(modbusErrorCode: number): Error {
  return Object.assign(new Error('objection'), { modbusErrorCode });
}

/** The first seven bytes of an answer to a request. */
function header(frame: Buffer, length: number): Buffer {
  const head = Buffer.from(frame.subarray(0, 7));
  head.writeUInt16BE(length + 1, 4);
  return head;
}

async function tcpServer(onConnection: (socket: Socket) => unknown): Promise<number> {
  const sockets = new Set<Socket>();
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('error', () => socket.destroy());
    onConnection(socket);
  });
  await new Promise<void>((ready) => server.listen(0, HOST, ready));
  closing.push(() => {
    sockets.forEach((socket) => socket.destroy());
    return new Promise((closed) => server.close(closed));
  });
  return (server.address() as AddressInfo).port;
}

/** The library's server on a port that was free a moment ago. */
async function gateway(vector: object): Promise<number> {
  const port = await tcpServer(() => undefined);
  await Promise.all(closing.splice(0).map((close) => close()));
  const server = new ServerTCP(vector, { host: HOST, port, debug: false, unitID: 255 });
  await new Promise((ready) => server.on('initialized', ready));
  closing.push(() => new Promise((closed) => server.close(closed)));
  return port;
}
