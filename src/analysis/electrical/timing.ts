/** How long a bus takes to hear every device: polling by one controller, or a token going round. */

/**
 * Bits of a character on a Modbus serial line: start, eight data, parity, stop; two stop bits
 * without parity (Modbus over Serial Line V1.02, 2.5.1).
 */
export const MODBUS_CHARACTER_BITS = 11;

/** Above this rate the silent intervals are fixed (Modbus over Serial Line V1.02, 2.5.1.1). */
const FIXED_INTERVALS_ABOVE_BAUD = 19_200;

/** Duration in s of one character. */
export function characterTimeS(baud: number, bitsPerCharacter = MODBUS_CHARACTER_BITS): number {
  return bitsPerCharacter / baud;
}

/** t1.5 in s: 1.5 characters up to 19200 baud, 750 µs above. */
export function interCharacterTimeS(baud: number): number {
  return baud > FIXED_INTERVALS_ABOVE_BAUD ? 750e-6 : 1.5 * characterTimeS(baud);
}

/** t3.5 in s: 3.5 characters up to 19200 baud, 1.750 ms above. */
export function interFrameTimeS(baud: number): number {
  return baud > FIXED_INTERVALS_ABOVE_BAUD ? 1.75e-3 : 3.5 * characterTimeS(baud);
}

/** What a controller asks of one device in a round. */
export interface Poll {
  readonly requestBytes: number;
  readonly replyBytes: number;
  /** Time that the device takes to answer. */
  readonly processS: number;
}

/** How a controller treats a device that does not answer. */
export interface PollPatience {
  readonly timeoutS: number;
  /** Attempts after the first one. */
  readonly retries: number;
}

/** Duration in s of one exchange: (n_request + n_reply) t_char + 2 t3.5 + t_process. */
export function pollTimeS(baud: number, poll: Poll): number {
  const bytes = poll.requestBytes + poll.replyBytes;
  return bytes * characterTimeS(baud) + 2 * interFrameTimeS(baud) + poll.processS;
}

/** Time in s that a device without an answer costs: (1 + retries) (n_request t_char + t3.5 + timeout). */
export function deadPollTimeS(
  baud: number,
  poll: Pick<Poll, 'requestBytes'>,
  patience: PollPatience,
): number {
  const attemptS =
    poll.requestBytes * characterTimeS(baud) + interFrameTimeS(baud) + patience.timeoutS;
  return (1 + patience.retries) * attemptS;
}

/** Duration in s of a whole round over devices that answer and devices that do not. */
export function pollCycleS(
  baud: number,
  answering: readonly Poll[],
  dead: readonly Poll[],
  patience: PollPatience,
): number {
  return (
    answering.reduce((sum, poll) => sum + pollTimeS(baud, poll), 0) +
    dead.reduce((sum, poll) => sum + deadPollTimeS(baud, poll, patience), 0)
  );
}

/** Bits of a token frame: eight octets of ten bits (ASHRAE 135 clause 9). */
export const TOKEN_FRAME_BITS = 80;

/** Least turnaround in bit times before a node may send (ASHRAE 135 clause 9, Tturnaround). */
const TURNAROUND_BITS = 40;

/** Longest time in s before a node uses the token (ASHRAE 135 clause 9, Tusage_delay). */
export const USAGE_DELAY_S = 15e-3;

/** Tokens that a node passes between two searches for a new one (ASHRAE 135 clause 9, Npoll). */
const TOKENS_PER_SEARCH = 50;

/** The time that a token takes round all managers when none has anything to say. */
export interface TokenLoop {
  readonly fastestS: number;
  readonly slowestS: number;
}

/**
 * The empty token loop of a number of managers: each passes the token after at least the
 * turnaround and at most the usage delay. Constants as coded in an open stack of the standard.
 */
export function tokenLoop(baud: number, managers: number): TokenLoop {
  return {
    fastestS: (managers * (TOKEN_FRAME_BITS + TURNAROUND_BITS)) / baud,
    slowestS: managers * (TOKEN_FRAME_BITS / baud + USAGE_DELAY_S),
  };
}

/**
 * Time in s until a new manager is found at the worst: the addresses between the highest used one
 * and the highest searched one are asked one by one, each after 50 tokens.
 */
export function searchTimeS(loopS: number, unusedAddresses: number): number {
  return unusedAddresses * TOKENS_PER_SEARCH * loopS;
}

/** Time in s after which the manager at an address makes a new token for a lost one: 500 ms + 10 ms each. */
export function tokenRegenerationS(address: number): number {
  return 0.5 + 0.01 * address;
}
