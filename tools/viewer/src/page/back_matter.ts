// What stands after the answers: suspects, fit, comparison, data, assumptions, sources, cautions.
import type { Answers, Text, Xy, Xyz } from '../answers';
import { plain } from '../words';
import type { Units } from '../units';
import { said } from '../units';
import { element } from './element';

function kept(nodes: (Node | null)[]): Node[] {
  return nodes.filter((n): n is Node => n !== null);
}

function table(caption: string, heads: string[], rows: (string | Node)[][]): HTMLElement {
  return element('div', { class: 'table-frame', tabindex: 0, role: 'region', 'aria-label': caption },
    element('table', { class: 'rows' }, element('caption', {}, caption),
      element('thead', {}, element('tr', {}, ...heads.map((h) => element('th', { scope: 'col' }, h)))),
      element('tbody', {}, ...rows.map((cells) => element('tr', {}, ...cells.map((c, i) => (i === 0 ? element('th', { scope: 'row' }, c) : element('td', {}, c))))))));
}

const firstDrops = 10;

/** Every stretch that is predicted to drop, and every one that did. */
export function dropList(answers: Answers, units: Units, go: (place: Xy) => void): Node[] {
  const lines = (drops: { sentence: Text; line: Xyz[] }[]): HTMLElement =>
    element('ul', { class: 'suspect-list' },
      ...drops.map(({ sentence, line }) => {
        const middle = line[Math.floor(line.length / 2)];
        return element('li', {}, element('p', {}, said(sentence, units)), ' ',
          middle ? element('button', { type: 'button', onclick: () => go([middle[0], middle[1]]) }, 'Show on the map') : null);
      }));
  const list = (title: string, drops: { sentence: Text; line: Xyz[] }[]): Node[] => {
    if (drops.length === 0) return [];
    const more = drops.length > 1.5 * firstDrops ? drops.slice(firstDrops) : [];
    return kept([
      element('h3', {}, title), lines(drops.slice(0, drops.length - more.length)),
      more.length ? element('details', { class: 'unprinted' }, element('summary', {}, `${more.length} more`), lines(more)) : null,
      more.length ? element('p', { class: 'on-paper' }, `${more.length} more are on the page.`) : null,
    ]);
  };
  return [...list('Predicted to drop', answers.prediction?.drops ?? []), ...list('Measured to drop', answers.measured_drops)];
}

export function suspectList(answers: Answers, units: Units, go: (place: Xy) => void): Node[] {
  if (answers.suspects.length === 0) return [];
  return [
    element('h2', {}, 'What the map may be missing'),
    element('p', {}, 'Where the rays of unexplained points cross and those of good points do not.'),
    element('ul', { class: 'suspect-list' },
      ...answers.suspects.map((s) =>
        element('li', {},
          element('p', {}, said(s.sentence, units)),
          element('p', { class: 'hint' }, `From ${s.points.map((i) => answers.points[i]?.id ?? '').filter(Boolean).join(', ') || 'the unexplained points'}.`),
          element('button', { type: 'button', onclick: () => go([s.place[0], s.place[1]]) }, 'Show on the map')))),
  ];
}

/** The program's own drawings are read as SVG and stripped of whatever could act or leave the page. */
function safeSvg(text: string): SVGElement | null {
  const parsed = new DOMParser().parseFromString(text, 'image/svg+xml').documentElement;
  if (parsed.localName !== 'svg') return null;
  for (const node of [...parsed.querySelectorAll('script, foreignObject, iframe, a, image')]) node.remove();
  for (const node of [parsed, ...parsed.querySelectorAll('*')])
    for (const { name, value } of [...node.attributes]) {
      const inside = value.startsWith('#'); // its letters are shapes that it uses again and again
      if (/^on/i.test(name) || (/href$/i.test(name) && !inside)) node.removeAttribute(name);
    }
  return document.importNode(parsed, true) as unknown as SVGElement;
}

export function fitted(answers: Answers, units: Units): Node[] {
  if (answers.fitted.length === 0) return [];
  return [
    element('h2', {}, 'What the measurements say of the nodes'),
    element('ul', {}, ...answers.fitted.map((s) => element('li', {}, said(s, units)))),
  ];
}

export function comparison(answers: Answers): Node[] {
  const c = answers.comparison;
  if (!c) return [];
  return kept([
    element('h2', {}, `Compared by ${plain(c.by)}`),
    ...c.sentences.map((s) => element('p', {}, s)),
    c.warnings.length ? element('ul', { class: 'warnings' }, ...c.warnings.map((w) => element('li', {}, w))) : null,
    element('div', { class: 'charts' },
      ...c.charts.map(({ title, svg }) => {
        const drawn = safeSvg(svg);
        drawn?.setAttribute('role', 'img');
        drawn?.setAttribute('aria-label', title);
        return element('figure', { class: 'chart' }, element('h3', {}, title), drawn ?? element('p', {}, 'This chart cannot be drawn.'));
      })),
  ]);
}

export function quality(answers: Answers): Node[] {
  const { layers, remarks } = answers.quality;
  return [
    element('h2', {}, 'The data'),
    table('What was read', ['File', 'As', 'Read', 'Used', 'Repaired', 'Defaulted', 'Set aside', 'Outside the area'],
      layers.map((l) => [l.file, l.what, ...[l.read, l.used, l.repaired, l.defaulted, l.set_aside, l.outside].map(String)])),
    remarks.length
      ? table('Remarks on it', ['Where', 'What', 'How often'], remarks.map((r) => [r.where, `${r.severity}: ${r.message}`, String(r.count)]))
      : element('p', {}, 'Nothing was repaired or set aside.'),
  ];
}

export function assumptions(answers: Answers): Node[] {
  return [
    element('h2', {}, 'What is assumed'),
    table('Values the answers rest on', ['Value', 'Is', 'From'],
      answers.assumptions.map((a) => [plain(a.name), a.value, a.from_site ? element('strong', {}, 'the site file') : a.source])),
  ];
}

export function sources(answers: Answers): Node[] {
  return [
    element('h2', {}, 'Models and sources'),
    table('Documents behind the numbers', ['Document', 'Used for'], answers.sources.map((s) => [s.title, s.models.map(plain).join(', ')])),
  ];
}

export function cautions(answers: Answers): Node[] {
  return [element('h2', {}, 'Mind'), element('ul', { class: 'caution-list' }, ...answers.cautions.map((c) => element('li', {}, c)))];
}

export function colophon(answers: Answers): Node[] {
  return kept([
    element('p', {}, `Made by kerbray ${answers.version} from the site’s own data.`),
    answers.attribution.length ? element('p', {}, `${answers.attribution.join('; ')}.`) : null,
  ]);
}
