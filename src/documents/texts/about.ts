/** One line about each document, for the index. */
export const aboutTexts: Readonly<Record<string, string>> = {
  'connection-schedule': 'every core from end to end, to tick when pulled, terminated and tested',
  'cable-schedule': 'every cable with its length and the length to cut',
  material: 'equipment, cable with its reels, small material, tools',
  calculations: 'limits, values, margins and the whole working of each bus and feed',
  'address-plan': 'the address to set on each device',
  'ip-plan': 'networks, hosts, pages, the settings of the laptop',
  'order-of-work': 'safe procedure with the isolation plan, landing, energising',
  'terminal-tests': 'every terminal that holds a conductor, to tick when landed, tightened, tested',
  commissioning:
    'what to read and what each controller must find, and where to look when something is wrong',
  labels: 'sleeves, cable markers and device plates, as a sheet and as data for label printers',
};
