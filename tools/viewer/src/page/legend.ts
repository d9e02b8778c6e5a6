// What the signs of the map mean: the ground's colours with their hatches, edges, points.
import type { Site } from '../site';
import { css } from '../ramps';
import type { Hatch, Rgb } from '../ramps';
import type { GroundPaint } from '../map/ground_paint';
import { edgeLooks } from '../map/map_contents';
import { causeWord } from '../words';
import { drawing, element } from './element';
import { markDrawing } from './points_table';

/** Lines of a hatch in a box of 24 by 16. */
function hatchPath(hatch: Hatch): string {
  const slant = 'M-4 8L8 -4M-4 20L20 -4M8 20L28 0M20 20L28 12';
  const back = 'M-4 8L8 20M-4 -4L20 20M8 -4L28 16M20 -4L28 4';
  switch (hatch) {
    case 'plain':
      return '';
    case 'sparse':
      return 'M-4 20L20 -4';
    case 'slant':
      return slant;
    case 'back':
      return back;
    case 'cross':
      return slant + back;
    case 'level':
      return 'M0 4H24M0 10H24';
    case 'upright':
      return 'M5 0V16M12 0V16M19 0V16';
    case 'dots':
      return 'M4 4h.1M12 4h.1M20 4h.1M8 11h.1M16 11h.1';
  }
}

export function swatch(colour: Rgb, hatch: Hatch): SVGElement {
  const path = hatchPath(hatch);
  const dark = colour.map((v) => Math.round(v * 0.66)) as Rgb;
  return drawing('svg', { viewBox: '0 0 24 16', class: 'swatch', 'aria-hidden': 'true' },
    drawing('rect', { width: 24, height: 16, fill: css(colour) }),
    path ? drawing('path', { d: path, stroke: css(dark), 'stroke-width': hatch === 'dots' ? 3 : 1.3, 'stroke-linecap': 'round', fill: 'none' }) : null);
}

function item(picture: SVGElement, words: string): HTMLElement {
  return element('li', {}, picture, element('span', {}, words));
}

function lineSample(dash: [number, number] | undefined, className: string, width = 2): SVGElement {
  return drawing('svg', { viewBox: '0 0 34 12', class: 'line-sample', 'aria-hidden': 'true' },
    drawing('path', { d: 'M1 6H33', class: className, 'stroke-width': width, 'stroke-dasharray': dash ? dash.join(' ') : undefined }));
}

export function legend(site: Site, paint: GroundPaint | null): Node[] {
  const groups: Node[] = [];
  const group = (title: string, items: (HTMLElement | null)[]): void => {
    const shown = items.filter((i): i is HTMLElement => i !== null);
    if (shown.length) groups.push(element('div', { class: 'legend-group' }, element('h3', {}, title), element('ul', {}, ...shown)));
  };
  if (paint) group(paint.legend.title, paint.legend.entries.map((e) => item(swatch(e.colour, e.hatch), e.words)));
  const { prediction, points } = site.answers;
  group('Lines', [
    ...(prediction?.edges ?? []).map(({ p_hold }) => {
      const look = edgeLooks[p_hold.toFixed(1)];
      return look ? item(lineSample(look.dash, 'edge-sample'), `edge: holds ${look.words}`) : null;
    }),
    prediction?.drops.length ? item(lineSample(undefined, 'drop-sample', 5), 'stretch of street that drops') : null,
    site.answers.measured_drops.length ? item(lineSample([3, 3], 'edge-sample'), 'stretch measured to drop') : null,
    item(lineSample(undefined, 'path-sample', 2.6), 'path to the chosen place; dashed: by reflection'),
  ]);
  const causes = [...new Set(points.filter((p) => p.place).map((p) => p.cause))];
  group('Points, by what explains them', [
    ...causes.map((cause) => item(markDrawing({ cause, measured: { ...none } }), causeWord(cause))),
    points.some((p) => p.measured.connected === false) ? item(markDrawing({ cause: 'none', measured: { ...none, connected: false } }), 'hollow, struck through: the link was lost') : null,
  ]);
  return groups;
}

const none = { rsrp_dbm: null, sinr_db: null, downlink_mbps: null, uplink_mbps: null, latency_ms: null, connected: null };
