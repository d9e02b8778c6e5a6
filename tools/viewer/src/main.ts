// The page: the document is read, the words stand first, then plots and tables, then the map.
import './style.css';
import type { Answers } from './answers';
import { Client } from './edit/client';
import { liveView } from './edit/live_view';
import { MapBlock } from './map/map_block';
import { assumptions, cautions, colophon, comparison, dropList, fitted, quality, sources, suspectList } from './page/back_matter';
import { element } from './page/element';
import { frameOf } from './page/frame';
import type { Frame } from './page/frame';
import { runSelect } from './page/map_tools';
import { pointsTable } from './page/points_table';
import { preparePrinting } from './page/printing';
import { runOf, streetPlots } from './page/street_plots';
import { followTheme } from './page/theme';
import { aboutList, verdictList } from './page/verdicts';
import { Shown } from './shown';
import { Site } from './site';

/** The document in the page, or from the program that serves it. */
async function answersOf(): Promise<{ answers: Answers; client: Client | null }> {
  const embedded = document.getElementById('answers')?.textContent?.trim();
  if (embedded && embedded !== '{}') return { answers: JSON.parse(embedded) as Answers, client: null };
  if (location.protocol === 'file:') throw new Error('there are no answers in it; kerbray report writes them in');
  const client = Client.fromAddress();
  return { answers: await client.answers(), client };
}

let markRow: () => void = () => undefined;

/** Everything but the map; again whenever units or points change. */
function fillPage(site: Site, shown: Shown, frame: Frame, block: MapBlock): void {
  const units = shown.get('units');
  const { answers } = site;
  const go = (place: [number, number]): void => block.go(place);
  frame.verdicts.replaceChildren(verdictList(answers, units, go));
  frame.about.replaceChildren(aboutList(answers));
  const width = Math.min(640, Math.max(300, (frame.plots.clientWidth || 1000) >= 860 ? (frame.plots.clientWidth - 24) / 2 : frame.plots.clientWidth || 340));
  frame.plots.replaceChildren(...streetPlots(site, shown.get('run'), units, width), ...dropList(answers, units, go));
  const { parts } = frame;
  if (answers.points.length) {
    const table = pointsTable(site, units, (index) => shown.set('place', { kind: 'point', index }));
    markRow = () => {
      const place = shown.get('place');
      table.mark(place?.kind === 'point' ? place.index : -1);
    };
    parts.points.replaceChildren(element('h2', {}, 'The measured points'), frame.whosePoints, table.node);
    markRow();
  }
  parts.sources.replaceChildren(...sources(answers));
  parts.suspects.replaceChildren(...suspectList(answers, units, go));
  parts.fitted.replaceChildren(...fitted(answers, units));
}

async function start(): Promise<void> {
  const { answers, client } = await answersOf();
  if (answers.format !== 1) throw new Error(`this page reads format 1 of the answers, not ${String(answers.format)}`);
  const shown = new Shown({ units: answers.units, theme: 'auto', view: 'map', ground: 'hold', place: null, run: runOf(answers) });
  const frame = frameOf(answers, shown);
  followTheme(shown, () => undefined);
  const site = await Site.of(answers);
  const block = new MapBlock(site, shown, frame);
  const { parts } = frame;
  parts.comparison.replaceChildren(...comparison(answers));
  parts.quality.replaceChildren(...quality(answers));
  parts.assumptions.replaceChildren(...assumptions(answers));
  parts.cautions.replaceChildren(...cautions(answers));
  parts.colophon.replaceChildren(...colophon(answers));
  frame.plotTools.replaceChildren(runSelect(site, shown, 'plot-run'));
  fillPage(site, shown, frame, block);
  shown.on('place', () => markRow());
  shown.on(['units', 'run'], () => fillPage(site, shown, frame, block));
  preparePrinting(frame, block);
  await block.start();
  if (client) liveView(client, site, shown, frame, block, (before) => {
    const run = runOf(site.answers, before);
    if (run === shown.get('run')) shown.tell('run');
    else shown.set('run', run);
  });
  document.documentElement.dataset['ready'] = 'yes';
}

start().catch((error: unknown) => {
  document.body.append(element('p', { class: 'failure', role: 'alert' }, `This page cannot be shown: ${error instanceof Error ? error.message : String(error)}`));
});
