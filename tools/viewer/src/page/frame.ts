// The page's frame: its parts in reading order, empty until each is filled.
import type { Answers } from '../answers';
import type { Shown, Theme } from '../shown';
import type { Units } from '../units';
import { choiceSwitch, drawing, element } from './element';

export interface Frame {
  verdicts: HTMLElement;
  about: HTMLElement;
  mapTools: HTMLElement;
  stage: HTMLElement;
  notice: HTMLElement;
  panel: HTMLElement;
  change: HTMLElement; // of the live view: over the map
  changes: HTMLElement; // and under it
  walk: HTMLElement;
  legend: HTMLElement;
  stillMap: HTMLElement;
  plots: HTMLElement;
  plotTools: HTMLElement;
  parts: Record<'points' | 'suspects' | 'fitted' | 'comparison' | 'quality' | 'assumptions' | 'sources' | 'cautions' | 'colophon', HTMLElement>;
  status: HTMLElement;
  whosePoints: HTMLElement; // one of the places of sayWhose()
  /** Of the live view: which site the words, plots and tables are of; '' = the one that was opened. */
  sayWhose: (words: string, waiting: boolean) => void;
}

/** A lamp over a street: half in its light, half in shade. */
function emblem(): SVGElement {
  return drawing('svg', { viewBox: '0 0 32 32', class: 'emblem', 'aria-hidden': 'true' },
    drawing('path', { d: 'M11 6L28 27H11Z', class: 'emblem-light' }), drawing('path', { d: 'M11 27V4.5', class: 'emblem-pole' }), drawing('path', { d: 'M3 27H29', class: 'emblem-pole' }),
    drawing('circle', { cx: 11, cy: 5.5, r: 2.6, class: 'emblem-lamp' }));
}

const themes: [Theme, string][] = [['auto', 'as the device'], ['light', 'light'], ['dark', 'dark'], ['sunlight', 'for sunlight']];

function themeSelect(shown: Shown): HTMLElement {
  const select = element('select', { id: 'theme', onchange: () => shown.set('theme', select.value as Theme) },
    ...themes.map(([value, label]) => element('option', { value }, label)));
  return element('div', { class: 'field' }, element('label', { for: 'theme' }, 'Colours'), select);
}

function switches(shown: Shown): HTMLElement {
  return element('div', { class: 'switches' },
    choiceSwitch('Lengths', [{ value: 'metric', label: 'Metres' }, { value: 'imperial', label: 'Feet' }], shown.get('units'), (v: Units) => shown.set('units', v)),
    themeSelect(shown),
    element('button', { type: 'button', class: 'print-button', onclick: () => window.print() }, 'Print'));
}

export function frameOf(answers: Answers, shown: Shown): Frame {
  const section = (className: string, ...children: Node[]): HTMLElement => element('section', { class: className }, ...children);
  // The same words where the answers begin, at the plots and at the points.
  const whose = [element('p', { class: 'whose', role: 'status' }), element('p', { class: 'whose' }), element('p', { class: 'whose' })] as const;
  const part = (name: keyof Frame['parts']): HTMLElement => section(`part ${name}`);
  const frame: Frame = {
    verdicts: element('div'), about: element('div'), mapTools: element('div', { class: 'map-tools' }),
    stage: element('div', {
      class: 'stage', tabindex: 0, role: 'application', id: 'map',
      'aria-label': 'Map. Arrow keys move it, plus and minus zoom, Enter chooses the middle, Tab goes through the points.',
    }),
    notice: element('p', { class: 'notice', hidden: true }), panel: element('aside', { class: 'panel', tabindex: 0, 'aria-label': 'The chosen place' }),
    change: element('div', { class: 'change', hidden: true }), changes: element('div'), walk: element('div'), legend: element('div', { class: 'legend' }),
    stillMap: element('div', { class: 'still-map' }), plots: element('div'), plotTools: element('div'),
    parts: {
      points: part('points'), suspects: part('suspects'), fitted: part('fitted'), comparison: part('comparison'), quality: part('quality'),
      assumptions: part('assumptions'), sources: part('sources'), cautions: part('cautions'), colophon: element('footer', { class: 'colophon' }),
    },
    status: element('div', { class: 'unseen', role: 'status', 'aria-live': 'polite' }),
    whosePoints: whose[2],
    sayWhose: (words, waiting) => {
      whose.forEach((node, i) => {
        node.textContent = words || (i === 0 && answers.live ? 'Of the site as it was opened.' : '');
        node.classList.toggle('waiting', waiting);
      });
    },
  };
  const attribution = answers.attribution.length ? element('p', { class: 'attribution' }, answers.attribution.join('; ')) : null;
  const stageFrame = element('div', { class: 'stage-frame' }, frame.stage, frame.stillMap, attribution);
  frame.sayWhose('', false);
  document.title = `${answers.site} – where the link holds`;
  const { parts } = frame;
  document.body.replaceChildren(
    element('a', { class: 'skip', href: '#map' }, 'Skip to the map'),
    element('header', { class: 'masthead' },
      element('div', { class: 'masthead-name' }, emblem(), element('div', {}, element('p', { class: 'wordmark' }, answers.live ? 'kerbray, live' : 'kerbray'), element('h1', {}, answers.site))),
      switches(shown)),
    element('main', {},
      section('opening', element('h2', { class: 'unseen' }, 'What to expect'), whose[0], frame.verdicts),
      section('map-block', element('h2', { class: 'unseen' }, 'Map and street'), frame.mapTools, frame.notice, frame.change,
        element('div', { class: 'map-and-panel' }, stageFrame, frame.panel), frame.walk, frame.changes, frame.legend),
      section('part about-part', element('h2', {}, 'The site'), frame.about),
      section('part plots-part', element('h2', {}, 'Along the street'), whose[1], frame.plotTools, frame.plots),
      parts.points, parts.suspects, parts.fitted, parts.comparison, parts.cautions, parts.quality, parts.assumptions, parts.sources),
    parts.colophon, frame.status);
  return frame;
}
