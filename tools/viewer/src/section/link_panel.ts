// The chosen place in full: what is said of it, the section of its path, its ledger, its row.
import type { Xyz } from '../answers';
import { element } from '../page/element';
import type { Site } from '../site';
import { length, said, signed } from '../units';
import type { Units } from '../units';
import { causeWord, percent, plain, sightWords, stateWords } from '../words';
import type { ChosenLink } from './chosen';
import { widest_m } from './fresnel';
import { ledgerBars } from './ledger_bars';
import { sectionDrawing } from './section_drawing';

const unitsOfColumn: Record<string, string> = { rsrp_dbm: 'dBm', downlink_mbps: 'Mbit/s', uplink_mbps: 'Mbit/s', snr_db: 'dB', latency_ms: 'ms' };

export function nothingChosen(): Node[] {
  return [
    element('h2', {}, 'Choose a place'),
    element('p', {}, 'Click the ground or a point on the map, or pick a row of the table below. The path from the node to that place is drawn here from the side, with what stands in it and what each thing costs.'),
    element('p', { class: 'hint' }, 'Keys on the map: arrows move, plus and minus zoom, Tab goes from point to point, Enter chooses the middle of the map.'),
  ];
}

export function linkPanel(site: Site, link: ChosenLink, units: Units): Node[] {
  const far = link.from ? Math.hypot(...([0, 1, 2] as const).map((k) => link.to[k] - link.from![k])) : NaN;
  const where = link.from ? `${length(far, units)} from ${link.node}${link.sector ? `, sector ${link.sector}` : ''}` : 'no node serves this place';
  const nodes: Node[] = [element('h2', {}, link.point ? `Point ${link.point.id}` : 'This place'), element('p', { class: 'where' }, [where, onEarth(site, link.to)].filter(Boolean).join('; '))];
  const sentence = link.sentence ? said(link.sentence, units) : '';
  if (sentence) nodes.push(element('p', { class: 'sentence' }, sentence));
  else if (link.from) nodes.push(element('p', { class: 'sentence' }, cellSentence(site, link)));
  if (link.point?.note) nodes.push(element('p', { class: 'hint' }, `Noted there: ${link.point.note}`));
  const figures = figureTable(link);
  if (figures) nodes.push(figures);
  const drawn = sectionDrawing(site, link, units);
  if (drawn) {
    const across = 2 * widest_m(far, link.frequency_ghz);
    nodes.push(
      element('figure', {}, drawn.svg,
        element('figcaption', {},
          `Heights are drawn ${drawn.exaggeration.toFixed(drawn.exaggeration < 10 ? 1 : 0)} times as large as lengths. ` +
          `The lens is the first Fresnel zone at ${link.frequency_ghz} GHz, ${length(across, units)} across where it is widest` +
          (drawn.cut.some((c) => c.beside) ? '; pale dashed shapes stand beside the path. ' : '. ') +
          (link.ledger?.clearance_m != null ? tightest(link, units) : ''))));
  }
  if (link.ledger) {
    nodes.push(element('h3', {}, 'What the link costs'), ledgerBars(site, link.ledger));
    nodes.push(...reflections(link, units), ...costs(site, link), row(link));
  } else if (link.cell) {
    nodes.push(element('h3', {}, 'What the link costs'), cellTable(site, link));
  }
  return nodes;
}

/** Latitude and longitude, to find the place again: "40.37856, −32.29523". */
function onEarth(site: Site, [x, y]: Xyz): string {
  const l = site.scene.lonlat;
  const [lon, lat] = [l[0] + l[1] * x + l[2] * y, l[3] + l[4] * x + l[5] * y];
  return Number.isFinite(lon) && Number.isFinite(lat) ? `${signed(lat, 5)}, ${signed(lon, 5)}` : '';
}

function tightest(link: ChosenLink, units: Units): string {
  const { clearance_m, clearance_fresnel, clearance_at_m } = link.ledger!;
  const radii = clearance_fresnel === null ? '' : ` (${signed(clearance_fresnel, 2)} of the zone’s radius)`;
  const at = clearance_at_m === null ? '' : `, ${length(clearance_at_m, units)} from the node`;
  return clearance_m! >= 0
    ? `The ring marks where the beam passes closest to something: ${length(clearance_m, units)} clear${radii}${at}.`
    : `The ring marks where the beam is cut deepest: by ${length(-clearance_m!, units)}${radii}${at}.`;
}

function cellSentence(site: Site, link: ChosenLink): string {
  const thing = site.scene.things[link.thing];
  const why = link.cause === 'none' || link.cause === '' ? '' : `; what costs most: ${thing ? `${plain(thing.what)} ${thing.id}` : causeWord(link.cause)}`;
  return `The link ${stateWords[link.state] ?? 'has no answer'} here, with ${sightWords[link.sight] ?? link.sight}${why}. These are the numbers of the map’s cell, at its centre.`;
}

/** Predicted beside measured; predicted exactly as the program wrote it. */
function figureTable(link: ChosenLink): HTMLElement | null {
  const row = link.ledger?.row ?? {};
  const cell = (name: string, digits: number): string => {
    if (row[name] !== undefined && row[name] !== '') return row[name]!;
    const value = link.cell?.get(name as never);
    return value === undefined ? '–' : signed(value, digits);
  };
  const hold = row['p_hold'] !== undefined ? row['p_hold'] : link.cell?.has('p_hold') ? percent(link.cell.get('p_hold')!) : null;
  if (!link.ledger && !link.cell && !link.point) return null;
  const m = link.point?.kind === 'measured' ? link.point.measured : null;
  const line = (name: string, key: string, digits: number, measured?: number | null): HTMLElement =>
    element('tr', {}, element('th', { scope: 'row' }, name), element('td', { 'data-column': key }, cell(key, digits)),
      m ? element('td', {}, measured == null ? '–' : signed(measured, digits)) : null, element('td', { class: 'unit' }, unitsOfColumn[key] ?? ''));
  const body = element('tbody', {},
    line('Level', 'rsrp_dbm', 1, m?.rsrp_dbm), line('Downlink', 'downlink_mbps', 0, m?.downlink_mbps),
    line('Uplink', 'uplink_mbps', 1, m?.uplink_mbps), line('SNR', 'snr_db', 1, m?.sinr_db));
  if (m?.latency_ms != null) body.append(line('Latency', 'latency_ms', 0, m.latency_ms));
  if (hold != null) {
    body.append(element('tr', {}, element('th', { scope: 'row' }, 'Chance that it holds'), element('td', { 'data-column': 'p_hold' }, hold),
      m ? element('td', {}, m.connected === null ? '–' : m.connected ? 'held' : 'lost') : null, element('td', {})));
  }
  return element('table', { class: 'figures' },
    element('thead', {}, element('tr', {}, element('td', {}), element('th', { scope: 'col' }, 'Predicted'),
      m ? element('th', { scope: 'col' }, 'Measured') : null, element('td', {}))), body);
}

function reflections(link: ChosenLink, units: Units): Node[] {
  const found = link.ledger?.reflected ?? [];
  if (found.length === 0) return [];
  return [
    element('h3', {}, 'Ways by reflection'),
    element('ul', { class: 'plain-list' },
      ...found.map((way) => {
        const far = way.points.slice(1).reduce((sum, p, i) => sum + Math.hypot(...p.map((v, k) => v - way.points[i]![k]!)), 0);
        const count = way.points.length - 2;
        return element('li', {}, `Off ${plain(way.surface)}${count > 1 ? ` (${count} bounces)` : ''}: ${length(far, units)}, ${way.level_db > 0 ? '+' : ''}${signed(way.level_db, 1)} dB over the direct path${way.strongest ? '; the strongest way here' : ''}`);
      })),
  ];
}

function costs(site: Site, link: ChosenLink): Node[] {
  const found = link.ledger === link.point?.ledger ? (link.point?.costs ?? []) : []; // else they are of another site
  if (found.length === 0) return [];
  return [
    element('h3', {}, 'Without it, you would gain'),
    element('ul', { class: 'plain-list' },
      ...found.map((c) => element('li', {}, `${signed(c.cost_db, 1)} dB without ${plain(c.what)}${site.scene.things[c.thing] ? ` (${site.scene.things[c.thing]!.source})` : ''}`))),
  ];
}

function row(link: ChosenLink): HTMLElement {
  return element('details', {}, element('summary', {}, 'All numbers, as in receivers.csv'),
    element('table', { class: 'all-numbers' },
      element('thead', {}, element('tr', {}, element('th', { scope: 'col' }, 'Column'), element('th', { scope: 'col' }, 'Value'))),
      element('tbody', {},
        ...Object.entries(link.ledger!.row).map(([name, value]) =>
          element('tr', {}, element('th', { scope: 'row' }, name), element('td', { 'data-row': name }, value))))));
}

/** A cell knows the sums of its ledger, not its lines. */
function cellTable(site: Site, link: ChosenLink): HTMLElement {
  const names: [string, string][] = [
    ['free_space_db', 'Distance'], ['diffraction_db', 'Round what is in the way'], ['foliage_db', 'Through leaves'],
    ['penetration_db', 'Into where the phone is'], ['gas_rain_db', 'Air and rain'], ['pattern_db', 'Off the beam’s peak'],
    ['reflection_gain_db', 'Reflections add'], ['path_loss_db', 'Path loss in all'],
  ];
  const thing = site.scene.things[link.thing];
  return element('table', { class: 'figures' },
    element('thead', {}, element('tr', {}, element('td', {}), element('th', { scope: 'col' }, 'dB'))),
    element('tbody', {},
      ...names.map(([column, words]) => {
        const value = link.cell?.get(column as never);
        const names_it = column === 'diffraction_db' && thing ? ` (${plain(thing.what)} ${thing.id})` : '';
        return element('tr', {}, element('th', { scope: 'row' }, words + names_it), element('td', { 'data-column': column }, value === undefined ? '–' : signed(value, 1)));
      })));
}
