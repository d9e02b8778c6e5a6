// The trade's words for what the document names in short.

export const causeWords: Record<string, string> = {
  none: 'as predicted',
  distance: 'distance',
  sector: 'outside the sector',
  terrain: 'ground in the way',
  building: 'building in the way',
  foliage: 'leaves in the way',
  pole: 'pole in the way',
  vehicle: 'vehicle in the way',
  object: 'object in the way',
  enclosure: 'inside something',
  body: 'a body in the way',
  unmapped: 'not on the map',
  load: 'busy cell',
  position: 'at a shadow’s edge',
};

export const sightWords: Record<string, string> = {
  los: 'clear sight',
  olos: 'sight through something',
  nlos: 'no sight',
  none: 'no answer',
};

export const stateWords: Record<string, string> = { hold: 'holds', marginal: 'in doubt', drop: 'drops' };

/** "free_space" as it is read: "free space". */
export function plain(name: string): string {
  return name.replaceAll('_', ' ');
}

export function causeWord(cause: string): string {
  return causeWords[cause] ?? plain(cause);
}

export function percent(p: number): string {
  return `${Math.round(100 * p)} %`;
}
