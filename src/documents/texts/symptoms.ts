/** Words of the table from what is seen to what may be wrong. */
import { say } from '../document.js';
import type { Phrase, Quantity } from '../document.js';

export const symptomTexts = {
  section: '7. When something is not as expected',
  about:
    'What applies to this site. Likely causes first. Change one thing at a time and read again; before a cover comes off, isolate and prove dead as the order of work says.',
  columns: {
    seen: 'what is seen',
    causes: 'likely causes, most likely first',
    check: 'what to read or try',
    here: 'on this site',
  },
  more: (rest: Quantity): Phrase => say` and ${rest} more`,
  expected: {
    ohm: (bus: string, ohm: Quantity): Phrase => say`${bus} ${ohm}`,
    idle: (bus: string, millivolts: Quantity): Phrase => say`${bus} ${millivolts}`,
    voltage: (at: string, volts: Quantity): Phrase => say`${at} ${volts}`,
    round: (bus: string, alive: Quantity, dead: Quantity): Phrase =>
      say`${bus} ${alive}, with one dead device ${dead}`,
    several: (device: string, points: string): Phrase => say`${device}: ${points}`,
  },
  rows: {
    busDead: {
      seen: 'A whole bus is dead',
      causes:
        'pair shorted; a driver stuck on; the controller on the wrong port or speed; pair crossed at the controller; bias absent',
      check:
        'Ohms with power off, then volts while nobody talks; then halve the bus and try each half.',
    },
    deviceDead: {
      seen: 'One device is dead, the others on its bus are fine',
      causes:
        'its pair crossed; address wrong; speed or parity wrong; no supply; wires on wrong terminals',
      check: 'Sign of the idle voltage at the device; its address; the voltage at its inlet.',
    },
    beyondDead: {
      seen: 'All devices beyond one point are dead',
      causes:
        'a broken core; a loose terminal; the pair crossed between two devices; supply too low at the end',
      check: 'Ohms from both ends; the voltage at the last device.',
    },
    addressTwice: {
      seen: 'Two devices come and go, errors, the others slow',
      causes: 'the same address twice',
      check: 'Unplug one of the two: the other becomes steady. Compare with the address plan.',
    },
    randomErrors: {
      seen: 'Errors now and then, worse while drives run or at night',
      causes:
        'a terminator missing or one too many; a star or a long stub; screen bonded at both ends or nowhere; mains beside the bus',
      check: 'Ohms with power off: about twice the expected means that one terminator is missing.',
    },
    slowOnly: {
      seen: 'Works only at a lower speed, or on the bench',
      causes: 'too long for the speed; stubs; terminators; bias',
      check: 'Calculations: length and stubs against their limits; volts while nobody talks.',
    },
    resets: {
      seen: 'Devices restart when others start',
      causes: 'voltage drop; the supply too small; no operating point under full load; inrush',
      check: 'Volts at the last device with everything running.',
    },
    secondTransformer: {
      seen: 'A fuse blows when a second transformer is connected',
      causes:
        'the two secondaries joined in opposite phase; one side earthed twice; half-wave loads on a common wire',
      check:
        'Mark the common wire at each. Read between the two live wires before joining anything: nothing here is meant to be joined.',
    },
    warm: {
      seen: 'A device is warm, smells or is dead when it is first switched on',
      causes:
        'the wrong supply: alternating on a direct input, or mains on an extra-low input; bus wires on supply terminals',
      check:
        'Do not switch on again. Measure at the unplugged connector first; replace the device.',
    },
    stillLive: {
      seen: 'Still live after its way is off',
      causes:
        'a second source; feedback through another device; stored energy; a contact wetted from elsewhere',
      check: 'Stop. Isolate every point of the device and prove dead again.',
    },
    lastUnits: {
      seen: 'The bus has power, but the last devices are missing',
      causes: 'too much load on the bus; the load far from the source; cable too thin',
      check: 'Volts at the last device against the least allowed.',
    },
    tokenSlow: {
      seen: 'A token bus is slow, or a new device never appears',
      causes:
        'the search ends below its address, or goes on far above the highest one; dead managers; different speeds on one bus',
      check: 'Highest address against how far each manager searches.',
    },
    twiceOrMissing: {
      seen: 'A controller shows a unit twice, or not at all',
      causes: 'address twice; an old list not cleared; a relay in between not yet searched',
      check:
        'Clear the list, search again from the units upwards; compare with what must be found.',
    },
    wrongUnit: {
      seen: 'One unit answers in place of another',
      causes: 'two addresses swapped against the plan',
      check: 'Let the unit identify itself and go and look; compare with the address plan.',
    },
    frozen: {
      seen: 'Readings look right but do not change',
      causes: 'the device is gone and its last value is held; a round takes longer than expected',
      check: 'Time of the last value; look for dead devices first.',
    },
    noPing: {
      seen: 'The laptop reaches nothing',
      causes:
        'wrong address or mask; an automatic address because nobody gives one out; the same address twice; wrong VLAN or socket; cable',
      check: 'The link lamp; then the settings of the IP plan.',
    },
    noPage: {
      seen: 'The device answers, but its page does not open',
      causes:
        'http typed for https or the other way round; wrong port; a firewall; the service off',
      check: 'The page exactly as printed in the IP plan.',
    },
    warning: {
      seen: 'The browser warns',
      causes:
        'a certificate that the device made itself; another name than the one that was typed; expired; a clock that is wrong',
      check: 'Compare the fingerprint with the IP plan before going on.',
    },
    notFromOutside: {
      seen: 'Reached from here, but not through the router',
      causes: 'no router set in the device, or the wrong one; mask too small; overlapping networks',
      check: 'Mask and router of the host against the IP plan.',
    },
  },
} as const;
