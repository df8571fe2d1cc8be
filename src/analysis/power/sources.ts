/** Where the figures of supplies stand, for facts and findings. */
import { POE_CLASSES } from '../electrical/poe-classes.js';

export const POWER_SOURCES = {
  load: 'common practice: demands added at nominal voltage, VA as VA',
  spare: 'common practice: rating less load',
  voltage:
    "Kirchhoff's laws: V = source voltage − sum of R I along the cable; resistance by IEC 60228 (read in reprints of the tables) or, for gauges, ASTM B258",
  alternatingVoltage:
    "Kirchhoff's laws with complex currents: V = | source voltage − sum of (R + jX) I along the cable |; resistance by IEC 60228 (read in reprints of the tables) or, for gauges, ASTM B258; reactance 0.08 mohm a metre of conductor, IEC 60364-5-52:2009 annex G",
  drop: 'common practice: source nominal less voltage at the inlet, in % of the nominal',
  collapse:
    "Kirchhoff's laws: the factor by which all constant-power loads together may grow before no operating point is left",
  poeLoad: `common practice: the sum of what the classes make the sockets hold ready; ${POE_CLASSES.text}`,
  poeVoltage: `Kirchhoff's laws: V = (Vs + sqrt(Vs² − 4 P R))/2 with the class power of the device at the least voltage of the socket; ${POE_CLASSES.text}`,
  fault: "Ohm's law: I = V / (R_loop + R_source) with hot conductors",
  isolation: '29 CFR 1910.333(b)(2): isolated from all sources of energy, locked',
} as const;
