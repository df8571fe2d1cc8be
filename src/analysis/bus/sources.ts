/** Where the figures of buses stand, for facts and findings. */
export const BUS_SOURCES = {
  counted: 'common practice: counted over one segment',
  lengths: 'common practice: cable lengths added along the run',
  unitLoads: 'TIA/EIA-485-A: 12 kohm per unit load (read in reprints)',
  idle: 'TIA/EIA-485-A: receivers know the state from 200 mV (read in reprints); Modbus over Serial Line V1.02, 3.4.6',
  farSignal:
    'TIA/EIA-485-A: drivers give 1.5 V into 54 ohm, receivers need 200 mV (read in reprints)',
  headResistance:
    'common practice: terminators and cable as a meter sees them, receivers not counted',
  poll: 'Modbus over Serial Line V1.02, 2.5.1 (characters of 11 bits, t3.5)',
  token:
    'from memory (ASHRAE 135 clause 9, constants as an open implementation has them; to be verified in the standard)',
  stubRise: 'common practice: a tenth of the rise time, the equation of data sheets (L = 0.1 t v)',
} as const;
