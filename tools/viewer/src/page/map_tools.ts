// The switches over the map and the walk under it.
import type { StreetRun } from '../answers';
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

/** Of the streets served; filled anew when they are others than before. */
export function runSelect(site: Site, shown: Shown, id: string): HTMLElement {
  const select = element('select', { id, onchange: () => shown.set('run', Number(select.value)) });
  const node = element('div', { class: 'field' }, element('label', { for: id }, 'Street'), select);
  const fill = (): void => {
    const runs = site.answers.prediction?.runs ?? [];
    node.hidden = runs.length === 0;
    const names = runs.map((run) => `${run.street}, from ${run.node}`);
    if (names.join('\n') !== [...select.options].map((o) => o.text).join('\n'))
      select.replaceChildren(...names.map((name, i) => element('option', { value: i }, name)));
    select.value = String(shown.get('run'));
  };
  shown.on('run', fill);
  fill();
  return node;
}

/** Walk along a street: each step chooses the next place, and the section follows. */
export function walk(site: Site, shown: Shown): HTMLElement {
  const run = (): StreetRun | undefined => site.answers.prediction?.runs[shown.get('run')];
  let at: { street: string; along_m: number } | null = null; // null = not started
  const says = element('output', { for: 'walk-along' });
  const slider = element('input', { type: 'range', id: 'walk-along', min: 0, step: 1, oninput: () => step() });
  const node = element('div', { class: 'walk' }, runSelect(site, shown, 'walk-run'),
    element('div', { class: 'field wide' }, element('label', { for: 'walk-along' }, 'Walk along it'), slider), says);
  const say = (): void => {
    const row = run()?.rows[Number(slider.value)];
    says.textContent = at && row ? `${length(row.along_m, shown.get('units'))} along` : 'at the node';
    slider.setAttribute('aria-valuetext', at && row ? `${says.textContent}, chance that it holds ${row.p_hold.toFixed(2)}` : 'at the node');
  };
  const fit = (): void => {
    const rows = run()?.rows ?? [];
    node.hidden = rows.length < 2;
    if (at?.street !== run()?.street) at = null;
    const wanted = at?.along_m ?? 0;
    slider.max = String(Math.max(0, rows.length - 1));
    slider.value = String(rows.reduce((best, r, i) => (Math.abs(r.along_m - wanted) < Math.abs(rows[best]!.along_m - wanted) ? i : best), 0));
    say();
  };
  const step = (): void => {
    const row = run()?.rows[Number(slider.value)];
    if (!row) return;
    at = { street: run()!.street, along_m: row.along_m };
    say();
    shown.set('place', { kind: 'spot', x: row.x_m, y: row.y_m });
  };
  shown.on('run', fit);
  shown.on('units', say);
  fit();
  return node;
}
