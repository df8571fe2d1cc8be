/**
 * Asks devices on a Modbus TCP server who they are and for one register, one request at a time.
 * Nothing is ever written: only function codes 43/14 and 3 are sent.
 *
 * Sources: MODBUS Application Protocol Specification V1.1b3, 6.3 (read holding registers), 6.21
 * (43/14, read device identification), 7 (exceptions); MODBUS Messaging on TCP/IP Implementation
 * Guide V1.0b, 3.1.3 (MBAP header).
 */
import type { Socket } from 'node:net';
import { ConnectionFailure, failureOf, openTcp, type Endpoint } from './connection.js';

/** What one unit answered. */
export interface UnitAnswer {
  readonly unit: number;
  /** Any answer of the unit itself counts, an objection of it included. */
  readonly found: boolean;
  /** Texts of the basic identification, by what they are; empty where the unit gives none. */
  readonly identification: Readonly<Record<string, string>>;
  /** The register's value, 0 to 65535; undefined where the unit did not give it. */
  readonly register: number | undefined;
  /** Why nothing came, in words of the protocol. */
  readonly objection: string | undefined;
}

export interface ModbusQuestion extends Endpoint {
  /** Unit identifiers, 1 to 247, asked in this order. */
  readonly units: readonly number[];
  /** The holding register to read, counted from 0 as on the wire. */
  readonly register: number;
  /** For each answer. */
  readonly timeoutMs: number;
  /** Pause between two requests, in ms, so that a live bus behind a gateway keeps its turns. */
  readonly pauseMs: number;
}

/** Asks each unit over one connection. Throws `ConnectionFailure` where the server cannot be reached. */
export async function askUnits(question: ModbusQuestion): Promise<readonly UnitAnswer[]> {
  const answers: UnitAnswer[] = [];
  let line = new RequestLine(await openTcp(question, question.timeoutMs), question.timeoutMs);
  try {
    for (const unit of question.units) {
      if (answers.length > 0) {
        await pause(question.pauseMs);
      }
      const answer = await askUnit(line, unit, question.register);
      answers.push(answer);
      // A late answer must not be taken for the next unit's, so a silent line is opened anew.
      if (line.isSpent && answers.length < question.units.length) {
        line.close();
        line = new RequestLine(await openTcp(question, question.timeoutMs), question.timeoutMs);
      }
    }
  } finally {
    line.close();
  }
  return answers;
}

const READ_HOLDING_REGISTERS = 0x03;
const ENCAPSULATED = 0x2b;
const DEVICE_IDENTIFICATION = 0x0e;
const BASIC = 0x01;
const OBJECTS = ['vendor', 'product', 'revision'];

/** Section 7; what a gateway says where nothing behind it answers is set apart. */
const OBJECTIONS: Readonly<Record<number, string>> = {
  1: 'illegal function',
  2: 'illegal data address',
  3: 'illegal data value',
  4: 'server device failure',
  6: 'server device busy',
  10: 'gateway path unavailable',
  11: 'gateway target device failed to respond',
};
const NOBODY_BEHIND: ReadonlySet<number> = new Set([10, 11]);

async function askUnit(line: RequestLine, unit: number, register: number): Promise<UnitAnswer> {
  const nothing = { unit, found: false, identification: {}, register: undefined };
  const read = await line.ask(
    unit,
    Buffer.from([READ_HOLDING_REGISTERS, register >> 8, register & 0xff, 0, 1]),
  );
  if (typeof read === 'string') {
    return { ...nothing, objection: read };
  }
  const exception = read[0] === (READ_HOLDING_REGISTERS | 0x80) ? (read[1] ?? 0) : undefined;
  if (exception !== undefined && NOBODY_BEHIND.has(exception)) {
    return { ...nothing, objection: OBJECTIONS[exception] };
  }
  const value =
    read[0] === READ_HOLDING_REGISTERS && read[1] === 2 && read.length === 4
      ? read.readUInt16BE(2)
      : undefined;
  const told = await line.ask(unit, Buffer.from([ENCAPSULATED, DEVICE_IDENTIFICATION, BASIC, 0]));
  return {
    unit,
    found: true,
    identification: typeof told === 'string' ? {} : identificationIn(told),
    register: value,
    objection:
      exception === undefined ? undefined : (OBJECTIONS[exception] ?? `exception ${exception}`),
  };
}

/** Function, type, code, conformity, more, next, count, then id, length and text of each object. */
function identificationIn(body: Buffer): Readonly<Record<string, string>> {
  if (body[0] !== ENCAPSULATED || body[1] !== DEVICE_IDENTIFICATION) {
    return {};
  }
  const found: Record<string, string> = {};
  let at = 7;
  for (let left = body[6] ?? 0; left > 0 && at + 2 <= body.length; left -= 1) {
    const name = OBJECTS[body[at]!];
    const end = at + 2 + body[at + 1]!;
    if (name !== undefined && end <= body.length) {
      // What a device says reaches a terminal: nothing but printable characters goes on.
      found[name] = body.toString('latin1', at + 2, end).replaceAll(/[^\x20-\x7e]/gu, '?');
    }
    at = end;
  }
  return found;
}

const HEADER_BYTES = 7;
/** Section 4.1: a frame on TCP has 260 bytes at most. */
const MOST_FRAME_BYTES = 260;

/** One connection on which one request is open at a time. */
class RequestLine {
  #transaction = 0;
  #isSpent = false;

  constructor(
    readonly socket: Socket,
    readonly timeoutMs: number,
  ) {}

  /** True after silence or a broken answer: this connection tells nothing more. */
  get isSpent(): boolean {
    return this.#isSpent;
  }

  /** Sends a request; gives the answer's function code with what follows, or why there is none. */
  async ask(unit: number, request: Buffer): Promise<Buffer | string> {
    if (this.#isSpent) {
      return 'no answer';
    }
    this.#transaction = (this.#transaction % 0xffff) + 1;
    const header = Buffer.alloc(HEADER_BYTES);
    header.writeUInt16BE(this.#transaction, 0);
    header.writeUInt16BE(request.length + 1, 4);
    header.writeUInt8(unit, 6);
    try {
      const answer = await this.#exchange(Buffer.concat([header, request]));
      const isOurs =
        answer.readUInt16BE(0) === this.#transaction &&
        answer.readUInt16BE(2) === 0 &&
        answer[6] === unit;
      if (isOurs) {
        return answer.subarray(HEADER_BYTES);
      }
      this.#isSpent = true;
      return 'an answer to another question';
    } catch (error) {
      this.#isSpent = true;
      return failureOf(error).problem === 'no-answer' ? 'no answer' : 'the connection was closed';
    }
  }

  close(): void {
    this.socket.destroy();
  }

  #exchange(frame: Buffer): Promise<Buffer> {
    const { socket } = this;
    return new Promise((resolve, reject) => {
      let received = Buffer.alloc(0);
      const finish = (end: () => void) => {
        clearTimeout(timer);
        socket.off('data', take).off('close', closed);
        end();
      };
      const closed = () => finish(() => reject(new ConnectionFailure('closed', 'ECONNRESET')));
      const take = (chunk: Buffer) => {
        received = Buffer.concat([received, chunk]);
        if (received.length < 6) {
          return;
        }
        const length = 6 + received.readUInt16BE(4);
        if (length > MOST_FRAME_BYTES || length < HEADER_BYTES + 1) {
          closed();
        } else if (received.length >= length) {
          finish(() => resolve(received.subarray(0, length)));
        }
      };
      const timer = setTimeout(
        () => finish(() => reject(new ConnectionFailure('no-answer', 'ETIMEDOUT'))),
        this.timeoutMs,
      );
      socket.on('data', take).once('close', closed);
      if (socket.destroyed) {
        closed();
      } else {
        socket.write(frame);
      }
    });
  }
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
