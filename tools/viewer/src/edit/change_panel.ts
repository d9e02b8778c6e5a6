// The controls of the live view: everything a hand can do on the map, also by number and key.
import { element } from '../page/element';
import type { Site } from '../site';
import type { Edit } from '../live';
import type { Shown } from '../shown';
import { inMetres, inUnits, unitName } from '../units';
import type { Units } from '../units';

/** The program's own ends (sim/serve/edits.cpp), metres. */
const heights = { node: { step: 0.5, low: 0.5, high: 500 }, thing: { step: 0.5, low: 0.05, high: 200 } };

export type Addable = Extract<Edit, { do: 'add' }>['what'];

export interface Changes {
  edit: (edit: Edit) => void;
  addHere: (what: Addable, heading_deg: number, height_m: number | null) => void;
  takeAwayChosen: () => void;
  takeAwayAddition: (add: number) => void;
  undo: () => void;
  redo: () => void;
  startAgain: () => void;
  survey: (file: File) => void;
  save: (name: string) => void;
}

export interface ChangePanel {
  head: HTMLElement; // over the map: what is going on, undo and redo
  body: HTMLElement; // under it: everything by number and key
  /** Numbers and buttons as the site now is. */
  refresh: (state: { canUndo: boolean; canRedo: boolean; done: string[]; wandered: boolean; leafOn: boolean | null; mm_per_h: number | null; additions: { add: number; words: string }[]; thing: string | null; placed: boolean }) => void;
  stage: (words: string, busy: boolean) => void;
  says: (words: string) => void;
}

interface Range {
  step: number;
  low: number;
  high: number;
}

interface NumberField {
  node: HTMLElement;
  input: HTMLInputElement;
}

function numberField(label: string, id: string, { step, low, high }: Range, changed: () => void): NumberField {
  const input = element('input', { type: 'number', id, step, min: low, max: high, inputmode: 'decimal', onchange: () => { if (usable(input)) changed(); } });
  return { input, node: element('div', { class: 'field narrow' }, element('label', { for: id }, label), input) };
}

/** Whether a number is there and within its ends; what is wrong with it is said. Steps are only for the arrows. */
function usable(input: HTMLInputElement): boolean {
  const value = Number(input.value);
  const [low, high] = [Number(input.min), Number(input.max)];
  const sound = !input.validity.badInput && value >= low && value <= high;
  input.setCustomValidity(sound ? '' : `Between ${input.min} and ${input.max}`);
  if (!sound) input.reportValidity();
  return sound && input.value !== '';
}

interface LengthField extends NumberField {
  metres: () => number | null; // null = empty
  show: (metres: number) => void;
}

/** A length in the reader's unit; its range is in metres. */
function lengthField(shown: Shown, name: string, id: string, range: Range, changed: (metres: number) => void): LengthField {
  const field = numberField(name, id, range, () => changed(metres()!));
  const { input, node } = field;
  let units: Units = 'metric';
  const metres = (): number | null => (input.value === '' ? null : inMetres(Number(input.value), units));
  const show = (value: number): void => {
    input.value = String(Math.round(inUnits(value, units) * 10) / 10);
  };
  const follow = (): void => {
    const before = metres();
    units = shown.get('units');
    node.querySelector('label')!.textContent = `${name}, ${unitName(units)}`;
    Object.assign(input, {
      step: String(units === 'metric' ? range.step : 1), min: String(Math.ceil(inUnits(range.low, units) * 10) / 10), max: String(Math.floor(inUnits(range.high, units) * 10) / 10),
    });
    if (before !== null) show(before);
  };
  shown.on('units', follow);
  follow();
  return { ...field, metres, show };
}

function group(title: string, ...children: (Node | null)[]): HTMLElement {
  return element('fieldset', { class: 'change-group' }, element('legend', {}, title), element('div', { class: 'change-row' }, ...children));
}

/** Height, and azimuth and tilt of each sector, of every node. */
function nodeFields(site: Site, shown: Shown, changes: Changes): { nodes: HTMLElement[]; refresh: () => void } {
  const refreshers: (() => void)[] = [];
  const keep = (input: HTMLInputElement, show: () => void): void => {
    refreshers.push(() => {
      if (document.activeElement !== input) show();
    });
  };
  const nodes = site.scene.nodes.map((node, n) => {
    const height = lengthField(shown, 'Height', `node-${n}-height`, heights.node, (v) => changes.edit({ do: 'raise_node', node: n, height_agl_m: v }));
    keep(height.input, () => height.show(site.scene.nodes[n]!.height_agl_m));
    const sectors = node.sectors.flatMap((sector, s) => {
      const now = (): { azimuth_deg: number; downtilt_deg: number } => site.scene.nodes[n]!.sectors[s]!;
      const turn = (to: { azimuth_deg?: number; downtilt_deg?: number }): void =>
        changes.edit({ do: 'turn_sector', node: n, sector: s, azimuth_deg: to.azimuth_deg ?? now().azimuth_deg, downtilt_deg: to.downtilt_deg ?? now().downtilt_deg });
      const azimuth = numberField(`${sector.id}, azimuth °`, `node-${n}-${s}-azimuth`, { step: 5, low: 0, high: 360 }, () => turn({ azimuth_deg: Number(azimuth.input.value) % 360 }));
      const tilt = numberField('tilt °', `node-${n}-${s}-tilt`, { step: 1, low: -90, high: 90 }, () => turn({ downtilt_deg: Number(tilt.input.value) }));
      for (const [field, value] of [[azimuth, () => now().azimuth_deg], [tilt, () => now().downtilt_deg]] as const)
        keep(field.input, () => (field.input.value = String(Math.round(value() * 10) / 10)));
      return [azimuth.node, tilt.node];
    });
    return group(`Node ${node.id}`, height.node, ...sectors);
  });
  return { nodes, refresh: () => refreshers.forEach((r) => r()) };
}

export function changePanel(site: Site, shown: Shown, changes: Changes): ChangePanel {
  const fields = nodeFields(site, shown, changes);
  const what = element('select', { id: 'add-what' }, ...(['lorry', 'van', 'car', 'bus', 'tree', 'pole'] as const).map((w) => element('option', { value: w }, w)));
  const heading = numberField('Heading °', 'add-heading', { step: 15, low: 0, high: 360 }, () => undefined);
  const tall = lengthField(shown, 'Height', 'add-height', heights.thing, () => undefined);
  tall.input.placeholder = 'usual';
  heading.input.value = '90';
  const button = (words: string, act: () => void): HTMLButtonElement => element('button', { type: 'button', onclick: act }, words);
  const add = button('Put it at the chosen place', () => {
    if (tall.metres() !== null && !usable(tall.input)) return;
    if (heading.input.value !== '' && !usable(heading.input)) return;
    changes.addHere(what.value as Addable, Number(heading.input.value), tall.metres());
  });
  const remove = button('Take it away', changes.takeAwayChosen);
  const removable = element('span', { class: 'hint' });
  const additions = element('ul', { class: 'additions' });
  const leaves = element('select', { id: 'leaves', onchange: () => { if (leaves.value) changes.edit({ do: 'leaf_on', on: leaves.value === 'on' }); } },
    element('option', { value: '' }, 'as the site says'), element('option', { value: 'on' }, 'in leaf'), element('option', { value: 'off' }, 'bare'));
  const rain = numberField('Rain, mm/h', 'rain', { step: 5, low: 0, high: 300 }, () => changes.edit({ do: 'rain', mm_per_h: Number(rain.input.value) }));
  rain.input.placeholder = 'as the site';
  const [undo, redo, again] = [button('Undo', changes.undo), button('Redo', changes.redo), button('Start again', changes.startAgain)];
  const done = element('p', { class: 'hint done-list' });
  const file = element('input', { type: 'file', id: 'survey-file', accept: '.csv,text/csv', onchange: () => { const f = file.files?.[0]; if (f) changes.survey(f); file.value = ''; } });
  const name = element('input', { type: 'text', id: 'save-name', placeholder: 'site_changed', autocomplete: 'off' });
  const stage = element('output', { class: 'live-stage' });
  const says = element('p', { class: 'live-says', role: 'status' });
  const head = element('div', { class: 'change-head' }, stage, element('div', { class: 'change-undo' }, undo, redo, again), says);
  const body = element('div', { class: 'change-panel' },
    element('h3', {}, 'Try a change'),
    element('p', { class: 'hint' }, 'On the map: drag a node along the ground, turn a sector by its ring. With keys: Tab to a node, then arrows, page keys and brackets.'),
    done, // not over the map, which must not slip from under a hand that drags
    element('div', { class: 'change-groups' },
      ...fields.nodes,
      group('Put into the street', element('div', { class: 'field narrow' }, element('label', { for: 'add-what' }, 'What'), what), heading.node, tall.node, add),
      group('Take out of the street', removable, remove, additions),
      group('Season and weather', element('div', { class: 'field narrow' }, element('label', { for: 'leaves' }, 'Trees'), leaves), rain.node),
      group('A survey', element('div', { class: 'field' }, element('label', { for: 'survey-file' }, 'CSV file, or drop it on the page'), file)),
      group('Keep it', element('div', { class: 'field' }, element('label', { for: 'save-name' }, 'As a new site file'), name), button('Save', () => changes.save(name.value.trim().replace(/\.toml$/i, '') || name.placeholder)))));
  return {
    head,
    body,
    refresh: ({ canUndo, canRedo, done: list, wandered, leafOn, mm_per_h, additions: added, thing, placed }) => {
      fields.refresh();
      [undo.disabled, redo.disabled, again.disabled] = [!canUndo, !canRedo, !canUndo];
      add.disabled = !placed;
      remove.disabled = thing === null;
      removable.textContent = thing === null ? 'Click something on the map to choose it.' : `Chosen: ${thing}`;
      done.textContent = list.length ? `Changed: ${list.join('; ')}.` : '';
      if (wandered) done.append(' A node is far from where it was, and the land at the end of its reach was not read: save, and open what was saved.');
      additions.replaceChildren(...added.map((a) => element('li', {}, a.words, button('Take away', () => changes.takeAwayAddition(a.add)))));
      leaves.value = leafOn === null ? '' : leafOn ? 'on' : 'off';
      if (document.activeElement !== rain.input) rain.input.value = mm_per_h === null ? '' : String(mm_per_h);
    },
    stage: (words, busy) => {
      stage.textContent = words;
      stage.classList.toggle('busy', busy);
    },
    says: (words) => (says.textContent = words),
  };
}
