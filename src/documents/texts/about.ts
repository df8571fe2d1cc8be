/** One line about each document, for the index. */
export const aboutTexts: Readonly<Record<string, string>> = {
  'connection-schedule': 'every core from end to end, to tick when pulled, terminated and tested',
  'cable-schedule': 'every cable with its length and the length to cut',
  material: 'equipment, cable with its reels, small material, tools',
  'address-plan': 'the address to set on each device',
  'ip-plan': 'networks, hosts, pages, the settings of the laptop',
  'order-of-work': 'safe procedure with the isolation plan, landing, energising',
  commissioning: 'what to read and what each controller must find',
};
