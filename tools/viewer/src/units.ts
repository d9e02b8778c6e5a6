// Lengths as the reader wants them. Everything inside the page is metres; feet exist only in words.
import type { Text } from './answers';

export type Units = 'metric' | 'imperial';

const metresPerFoot = 0.3048; // the international foot, exact

export function inUnits(metres: number, units: Units): number {
  return units === 'metric' ? metres : metres / metresPerFoot;
}

export function inMetres(value: number, units: Units): number {
  return units === 'metric' ? value : value * metresPerFoot;
}

export function unitName(units: Units): string {
  return units === 'metric' ? 'm' : 'ft';
}

/** "12.3 m", "235 m", "771 ft": one decimal under 10 m, none above. */
export function length(metres: number | null | undefined, units: Units): string {
  if (metres === null || metres === undefined || !Number.isFinite(metres)) return '–';
  const value = inUnits(metres, units);
  const digits = units === 'metric' && Math.abs(metres) < 10 ? 1 : units === 'imperial' && Math.abs(value) < 10 ? 1 : 0;
  return `${signed(value, digits)} ${unitName(units)}`;
}

/** A number with a true minus sign, and none before a zero. */
export function signed(value: number | null | undefined, digits: number): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–';
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

export function said(text: Text, units: Units): string {
  return text[units];
}

/** Round lengths for a scale bar: the longest 1, 2 or 5 times a power of ten within `most`. */
export function roundLength(most: number): number {
  const power = 10 ** Math.floor(Math.log10(most));
  const lead = most / power;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power;
}
