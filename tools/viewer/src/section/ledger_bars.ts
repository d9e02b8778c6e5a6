// The ledger as bars: each line moves the level from where the line before left it.
import { element } from '../page/element';
import type { Site } from '../site';
import { signed } from '../units';
import { causeWord, plain } from '../words';
import { stepsOf } from './waterfall';
import type { Step } from './waterfall';
import type { Ledger } from '../answers';

export function ledgerBars(site: Site, ledger: Ledger): HTMLElement {
  const steps = stepsOf(ledger);
  const levels: [number, number][] = [];
  let level = 0;
  steps.forEach((step, i) => {
    levels.push(i === 0 ? [step.change_db, step.change_db] : [level, level + step.change_db]);
    level += step.change_db;
  });
  const low = Math.min(...levels.flat()) - 6;
  const high = Math.max(...levels.flat()) + 3;
  const share = (v: number): number => (100 * (v - low)) / (high - low);
  const bar = ([from, to]: [number, number], kind: string): HTMLElement => {
    const node = element('span', { class: `bar ${kind}` });
    node.style.left = `${share(Math.min(from, to))}%`;
    node.style.width = `${Math.max(0.6, Math.abs(share(to) - share(from)))}%`;
    return node;
  };
  const rows = steps.map((step, i) =>
    element('li', {},
      element('div', { class: 'ledger-line' },
        element('span', { class: 'ledger-name' }, step.name),
        element('span', { class: 'ledger-value' }, i === 0 ? `${signed(step.change_db, 1)} dBm` : `${step.change_db > 0 ? '+' : ''}${signed(step.change_db, 1)} dB`)),
      element('div', { class: 'ledger-track', 'aria-hidden': 'true' },
        i === 0 ? bar([low, step.change_db], 'start') : bar(levels[i]!, step.change_db < 0 ? 'loss' : 'gain')),
      element('div', { class: 'ledger-source' }, sourceOf(site, step))));
  rows.push(
    element('li', { class: 'ledger-end' },
      element('div', { class: 'ledger-line' },
        element('span', { class: 'ledger-name' }, 'Heard by the phone (SS-RSRP)'),
        element('span', { class: 'ledger-value' }, `${signed(ledger.rsrp_dbm, 1)} dBm`)),
      element('div', { class: 'ledger-track', 'aria-hidden': 'true' }, bar([low, ledger.rsrp_dbm], 'start')),
      element('div', { class: 'ledger-source' }, `two of three such places lie within ${signed(ledger.sigma_db, 1)} dB of it`)));
  return element('ol', { class: 'ledger' }, ...rows);
}

function sourceOf(site: Site, step: Step): string {
  const thing = site.scene.things[step.thing];
  const parts = [
    thing ? `${plain(thing.what)} ${thing.id}` : step.cause && !['none', 'distance'].includes(step.cause) ? causeWord(step.cause) : '',
    [plain(step.model), step.source].filter(Boolean).join(', '),
    step.low_db !== undefined && step.high_db !== undefined ? `between ${signed(step.low_db, 1)} and ${signed(step.high_db, 1)} dB` : '',
    step.in_range ? '' : 'outside the model’s stated range',
  ];
  return parts.filter(Boolean).join(' · ');
}
