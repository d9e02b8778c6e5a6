// The answers first, in words; each takes the map to its place.
import type { Answers, Xy } from '../answers';
import { said } from '../units';
import type { Units } from '../units';
import { drawing, element } from './element';

const kinds: Record<Answers['verdicts'][number]['kind'], { word: string; draw: () => SVGElement[] }> = {
  holds: { word: 'Holds', draw: () => [drawing('path', { d: 'M3 17H21M6 17V9H18V17', class: 'mark-line' }), drawing('path', { d: 'M6 9H18V17H6Z', class: 'mark-fill' })] },
  drops: { word: 'Drops', draw: () => [drawing('path', { d: 'M2 9H9V17H15V9H22', class: 'mark-line' })] },
  unexplained: { word: 'Unexplained', draw: () => [drawing('path', { d: 'M12 2L22 12L12 22L2 12Z', class: 'mark-line' }), drawing('path', { d: 'M9.4 9.6A2.7 2.7 0 1 1 12 12.6V14', class: 'mark-line' }), drawing('circle', { cx: 12, cy: 17, r: 1.2, class: 'mark-dot' })] },
  note: { word: 'Note', draw: () => [drawing('path', { d: 'M5 8H19M5 12H19M5 16H13', class: 'mark-line' })] },
};

export function verdictList(answers: Answers, units: Units, go: (place: Xy) => void): HTMLElement {
  return element('ul', { class: answers.verdicts.length > 4 ? 'verdicts many' : 'verdicts' },
    ...answers.verdicts.map((verdict) => {
      const kind = kinds[verdict.kind];
      const inside = [
        drawing('svg', { viewBox: '0 0 24 24', class: 'mark', 'aria-hidden': 'true' }, ...kind.draw()),
        element('span', { class: 'verdict-kind' }, kind.word),
        element('span', { class: 'verdict-text' }, said(verdict.text, units)),
      ];
      const { place } = verdict;
      return element('li', { class: `verdict ${verdict.kind}` },
        place
          ? element('button', { type: 'button', onclick: () => go(place) }, ...inside, element('span', { class: 'verdict-go' }, 'Show on the map'))
          : element('div', {}, ...inside));
    }));
}

export function aboutList(answers: Answers): HTMLElement {
  return element('dl', { class: 'about' },
    ...answers.about.flatMap(({ name, value }) => [element('div', {}, element('dt', {}, name), element('dd', {}, value))]));
}
