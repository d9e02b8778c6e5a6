// The switches over the map and the walk under it.
import type { Choices, GroundShows, Shown } from '../shown';
import type { Site } from '../site';
import { length } from '../units';
import { choiceSwitch, element } from './element';

const grounds: { value: GroundShows; label: string }[] = [
  { value: 'hold', label: 'where it holds' },
  { value: 'rsrp', label: 'signal level' },
  { value: 'downlink', label: 'downlink rate' },
  { value: 'sight', label: 'sight of the node' },
  { value: 'cause', label: 'what costs most' },
  { value: 'nothing', label: 'nothing' },
];

export function groundSelect(shown: Shown): HTMLElement {
  const select = element('select', { id: 'ground-shows', onchange: () => shown.set('ground', select.value as GroundShows) },
    ...grounds.map(({ value, label }) => element('option', { value, selected: value === shown.get('ground') }, label)));
  shown.on('ground', () => (select.value = shown.get('ground')));
  return element('div', { class: 'field' }, element('label', { for: 'ground-shows' }, 'The ground shows'), select);
}

export function viewSwitch(shown: Shown): HTMLElement {
  const make = (): HTMLElement =>
    choiceSwitch('View', [{ value: 'map', label: 'Map' }, { value: 'street', label: 'Street' }, { value: 'eye', label: 'From here' }], shown.get('view'),
      (value: Choices['view']) => shown.set('view', value));
  const node = make();
  shown.on('view', () => {
    for (const input of node.querySelectorAll('input')) input.checked = input.value === shown.get('view');
  });
  return node;
}

export function zoomButtons(zoom: (factor: number) => void, fit: () => void): HTMLElement {
  return element('div', { class: 'zoom' },
    element('button', { type: 'button', 'aria-label': 'Closer', onclick: () => zoom(1.4) }, '+'),
    element('button', { type: 'button', 'aria-label': 'Farther', onclick: () => zoom(1 / 1.4) }, '−'),
    element('button', { type: 'button', onclick: fit }, 'All'));
}

export function runSelect(site: Site, shown: Shown, id: string): HTMLElement {
  const runs = site.answers.prediction?.runs ?? [];
  const select = element('select', { id, onchange: () => shown.set('run', Number(select.value)) },
    ...runs.map((run, i) => element('option', { value: i, selected: i === shown.get('run') }, `${run.street}, from ${run.node}`)));
  shown.on('run', () => (select.value = String(shown.get('run'))));
  return element('div', { class: 'field' }, element('label', { for: id }, 'Street'), select);
}

/** Walk along a street: each step chooses the next place, and the section follows. */
export function walk(site: Site, shown: Shown): HTMLElement | null {
  const runs = site.answers.prediction?.runs ?? [];
  if (!runs.some((r) => r.rows.length > 1)) return null;
  const says = element('output', { for: 'walk-along' }, 'not started');
  const slider = element('input', { type: 'range', id: 'walk-along', min: 0, step: 1, oninput: () => step() });
  const fit = (): void => {
    const rows = runs[shown.get('run')]?.rows ?? [];
    slider.max = String(Math.max(0, rows.length - 1));
    const start = rows.reduce((best, r, i) => (Math.abs(r.along_m) < Math.abs(rows[best]!.along_m) ? i : best), 0);
    slider.value = String(start);
    slider.setAttribute('aria-valuetext', 'at the node');
    says.textContent = 'at the node';
  };
  const step = (): void => {
    const row = runs[shown.get('run')]?.rows[Number(slider.value)];
    if (!row) return;
    says.textContent = `${length(row.along_m, shown.get('units'))} along`;
    slider.setAttribute('aria-valuetext', `${says.textContent}, chance that it holds ${row.p_hold.toFixed(2)}`);
    shown.set('place', { kind: 'spot', x: row.x_m, y: row.y_m });
  };
  shown.on('run', fit);
  fit();
  return element('div', { class: 'walk' }, runSelect(site, shown, 'walk-run'),
    element('div', { class: 'field wide' }, element('label', { for: 'walk-along' }, 'Walk along it'), slider), says);
}
