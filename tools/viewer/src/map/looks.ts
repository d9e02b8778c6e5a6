// The map's own colours in each theme. In the dark the ground stays light enough for its shade to be seen.

export interface Looks {
  paper: string; // beyond the answers
  roof: string;
  wall: string;
  edge: string; // of roofs
  pole: string;
  trunk: string;
  crown: string;
  vehicle: string;
  object: string;
  street: string;
  ink: string;
  halo: string;
  drop: string;
  node: string;
  accent: string;
}

const day: Looks = {
  paper: '#e9e5db', roof: '#cbc3b2', wall: '#a79f90', edge: '#6f6a60', pole: '#33373f', trunk: '#6b5440', crown: '#5f8a72',
  vehicle: '#8d6f9c', object: '#9b8b6a', street: '#ffffff', ink: '#131a26', halo: '#ffffff', drop: '#c04a00', node: '#131a26',
  accent: '#0b4f86',
};

const night: Looks = {
  ...day, paper: '#232935', roof: '#3b4250', wall: '#2a303b', edge: '#8b93a3', crown: '#3f6a55', pole: '#aab1bd', trunk: '#8a7460',
  vehicle: '#7a6590', object: '#8a7d62', street: '#cfd5df', ink: '#10151f', halo: '#f6f3ea', node: '#10151f',
};

const sunlight: Looks = {
  ...day, paper: '#ffffff', roof: '#ffffff', wall: '#8a8a8a', edge: '#000000', ink: '#000000', street: '#ffffff', node: '#000000', drop: '#b23c00',
};

export function looksOf(theme: 'light' | 'dark' | 'sunlight'): Looks {
  return theme === 'dark' ? night : theme === 'sunlight' ? sunlight : day;
}
