/** What is wrong with a row of a filled-in sheet: what, why, what to do. */

export const recordTexts = {
  noNumber: (seen: string) =>
    `"${seen}" is no number, and a reading is one. Write the number that the meter showed; what cannot be written as a number belongs in a remark.`,
  noCount: (seen: string) =>
    `"${seen}" is no count, and a controller finds a number of units. Write the number alone, such as 7.`,
  twoReadings: (seen: string) =>
    `"${seen}" can be read in two ways: a comma may set off decimals or thousands. Write it with a point and without thousands.`,
  otherUnit: (seen: string, unit: string) =>
    `"${seen}" has a unit that does not fit: this reading is in ${unit}. Write it in ${unit}.`,
  unknownUnit: (seen: string, unit: string) =>
    `"${seen}" has a unit that is not known. Write it in ${unit}.`,
  noUnit:
    'The sheet does not say whether ohms or millivolts were read, because its heading was changed. Put the unit behind the number.',
  tickedOnly:
    'It is ticked as ok, but nothing stands under "seen", and a tick is no reading. Write what was seen.',
  neitherSeenNorMissed: (seen: string) =>
    `"${seen}" says neither that the unit was seen nor that it was missed. Write yes or no, or the address that was shown.`,
  otherAddress: (seen: string, expected: string, unit: string) =>
    `Address ${seen} was shown where ${expected} is expected for ${unit}. One of the two is wrong: set the address of the device right, or the line of the site, then fill in the row anew.`,
  noSubject: (heading: string) =>
    `The cell under "${heading}" is empty, so nobody knows what was looked at. Fill it in as the job pack had it.`,
  unknownSubject: (name: string, near: readonly string[]) =>
    `The site has no "${name}".${near.length > 0 ? ` Did you mean ${near.join(', ')}?` : ''} It may have been renamed since the sheet was printed: write its name of today.`,
  noDate: (text: string) => `"${text}" is no date. Write year, month and day: 2026-11-20.`,
  twoDates: (text: string) =>
    `"${text}" can be two days, since day and month may stand in either order. Write it as 2026-11-20.`,
  laterDate: (text: string, today: string) =>
    `${text} is still to come; today is ${today}. Write the day on which it was seen.`,
  contradiction: (row: number) =>
    `Row ${row} of the same sheet says something else of it for the same day. Keep the one that is right.`,
} as const;
