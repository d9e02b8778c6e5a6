// The controls of the live view: everything a hand can do on the map, also by number and key.
import { element } from '../page/element';
import type { Site } from '../site';
import type { Edit } from '../live';

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
  refresh: (state: { canUndo: boolean; canRedo: boolean; done: string[]; additions: { add: number; words: string }[]; thing: string | null; placed: boolean }) => void;
  stage: (words: string, busy: boolean) => void;
  says: (words: string) => void;
}

function numberField(label: string, id: string, step: number, low: number, high: number, changed: (value: number) => void): { node: HTMLElement; input: HTMLInputElement } {
  const input = element('input', {
    type: 'number', id, step, min: low, max: high, inputmode: 'decimal',
    onchange: () => {
      const value = Number(input.value);
      if (input.value !== '' && value >= low && value <= high) changed(value);
    },
  });
  return { input, node: element('div', { class: 'field narrow' }, element('label', { for: id }, label), input) };
}

function group(title: string, ...children: (Node | null)[]): HTMLElement {
  return element('fieldset', { class: 'change-group' }, element('legend', {}, title), element('div', { class: 'change-row' }, ...children));
}

/** Height, and azimuth and tilt of each sector, of every node. */
function nodeFields(site: Site, changes: Changes): { nodes: HTMLElement[]; refresh: () => void } {
  const refreshers: (() => void)[] = [];
  const shown = (input: HTMLInputElement, value: () => number): void => {
    refreshers.push(() => {
      if (document.activeElement !== input) input.value = String(Math.round(value() * 10) / 10);
    });
  };
  const nodes = site.scene.nodes.map((node, n) => {
    const height = numberField('Height, m', `node-${n}-height`, 0.5, 1, 60, (v) => changes.edit({ do: 'raise_node', node: n, height_agl_m: v }));
    shown(height.input, () => site.scene.nodes[n]!.height_agl_m);
    const sectors = node.sectors.flatMap((sector, s) => {
      const now = (): { azimuth_deg: number; downtilt_deg: number } => site.scene.nodes[n]!.sectors[s]!;
      const turn = (to: { azimuth_deg?: number; downtilt_deg?: number }): void =>
        changes.edit({ do: 'turn_sector', node: n, sector: s, azimuth_deg: to.azimuth_deg ?? now().azimuth_deg, downtilt_deg: to.downtilt_deg ?? now().downtilt_deg });
      const azimuth = numberField(`${sector.id}, azimuth °`, `node-${n}-${s}-azimuth`, 5, 0, 360, (v) => turn({ azimuth_deg: v % 360 }));
      const tilt = numberField('tilt °', `node-${n}-${s}-tilt`, 1, -30, 60, (v) => turn({ downtilt_deg: v }));
      shown(azimuth.input, () => now().azimuth_deg);
      shown(tilt.input, () => now().downtilt_deg);
      return [azimuth.node, tilt.node];
    });
    return group(`Node ${node.id}`, height.node, ...sectors);
  });
  return { nodes, refresh: () => refreshers.forEach((r) => r()) };
}

export function changePanel(site: Site, changes: Changes): ChangePanel {
  const fields = nodeFields(site, changes);
  const what = element('select', { id: 'add-what' }, ...(['lorry', 'van', 'car', 'bus', 'tree', 'pole'] as const).map((w) => element('option', { value: w }, w)));
  const heading = numberField('Heading °', 'add-heading', 15, 0, 359, () => undefined);
  const tall = numberField('Height, m', 'add-height', 0.5, 0.2, 60, () => undefined);
  tall.input.placeholder = 'usual';
  heading.input.value = '90';
  const button = (words: string, act: () => void): HTMLButtonElement => element('button', { type: 'button', onclick: act }, words);
  const add = button('Put it at the chosen place', () => changes.addHere(what.value as Addable, Number(heading.input.value) || 0, tall.input.value === '' ? null : Number(tall.input.value)));
  const remove = button('Take it away', changes.takeAwayChosen);
  const removable = element('span', { class: 'hint' });
  const additions = element('ul', { class: 'additions' });
  const leaves = element('select', { id: 'leaves', onchange: () => { if (leaves.value) changes.edit({ do: 'leaf_on', on: leaves.value === 'on' }); } },
    element('option', { value: '' }, 'as the site says'), element('option', { value: 'on' }, 'in leaf'), element('option', { value: 'off' }, 'bare'));
  const rain = numberField('Rain, mm/h', 'rain', 5, 0, 200, (v) => changes.edit({ do: 'rain', mm_per_h: v }));
  rain.input.placeholder = 'as the site';
  const [undo, redo, again] = [button('Undo', changes.undo), button('Redo', changes.redo), button('Start again', changes.startAgain)];
  const done = element('p', { class: 'hint done-list' });
  const file = element('input', { type: 'file', id: 'survey-file', accept: '.csv,text/csv', onchange: () => { const f = file.files?.[0]; if (f) changes.survey(f); file.value = ''; } });
  const name = element('input', { type: 'text', id: 'save-name', placeholder: 'site_changed.toml', autocomplete: 'off' });
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
      group('Keep it', element('div', { class: 'field' }, element('label', { for: 'save-name' }, 'As a new site file'), name), button('Save', () => changes.save(name.value.trim() || name.placeholder)))));
  return {
    head,
    body,
    refresh: ({ canUndo, canRedo, done: list, additions: added, thing, placed }) => {
      fields.refresh();
      [undo.disabled, redo.disabled, again.disabled] = [!canUndo, !canRedo, !canUndo];
      add.disabled = !placed;
      remove.disabled = thing === null;
      removable.textContent = thing === null ? 'Click something on the map to choose it.' : `Chosen: ${thing}`;
      done.textContent = list.length ? `Changed: ${list.join('; ')}. Verdicts, plots and tables below are of the site as it was.` : '';
      additions.replaceChildren(...added.map((a) => element('li', {}, a.words, button('Take away', () => changes.takeAwayAddition(a.add)))));
      if (!canUndo) {
        leaves.value = '';
        rain.input.value = '';
      }
    },
    stage: (words, busy) => {
      stage.textContent = words;
      stage.classList.toggle('busy', busy);
    },
    says: (words) => (says.textContent = words),
  };
}
