// Rate and level along a street: what is predicted as a band, what was measured as points, and the same
// numbers as a table.
import * as Plot from '@observablehq/plot';
import type { Answers, Point, StreetRun, Xyz } from '../answers';
import type { Site } from '../site';
import { inUnits, signed, unitName } from '../units';
import type { Units } from '../units';
import { stateWords } from '../words';
import { element } from './element';

interface OnRun {
  along_m: number;
  point: Point;
}

const beside_m = 20; // farther from the street's centre line than this, a point is not of the street

/** Where the measured points lie along a run: at the nearest of its places. */
export function pointsOnRun(run: StreetRun, points: Point[]): OnRun[] {
  return points.flatMap((point) => {
    if (!point.place || point.kind !== 'measured' || (point.ledger && point.ledger.node !== run.node)) return [];
    const near = nearestRow(run, point.place);
    return near && near.off_m <= beside_m ? [{ along_m: near.along_m, point }] : [];
  });
}

export function nearestRow(run: StreetRun, place: Xyz): { along_m: number; off_m: number; index: number } | null {
  let best: { along_m: number; off_m: number; index: number } | null = null;
  run.rows.forEach((row, index) => {
    const off_m = Math.hypot(row.x_m - place[0], row.y_m - place[1]);
    if (!best || off_m < best.off_m) best = { along_m: row.along_m, off_m, index };
  });
  return best;
}

/** Gaps in a run stay gaps: a row of nothing between rows that do not follow each other. */
function withGaps(run: StreetRun): (StreetRun['rows'][number] | { along_m: number; gap: true })[] {
  const steps = run.rows.slice(1).map((r, i) => r.along_m - run.rows[i]!.along_m).sort((a, b) => a - b);
  const usual = steps[Math.floor(steps.length / 2)] ?? 1;
  return run.rows.flatMap((row, i) => {
    const next = run.rows[i + 1];
    return next && next.along_m - row.along_m > 2.5 * usual ? [row, { along_m: row.along_m + usual, gap: true as const }] : [row];
  });
}

type Quantity = {
  title: string;
  axis: string;
  middle: keyof StreetRun['rows'][number];
  low: (r: StreetRun['rows'][number]) => number;
  high: (r: StreetRun['rows'][number]) => number;
  measured: (p: Point) => number | null;
  band: string;
};

const rate: Quantity = {
  title: 'Downlink rate along the street', axis: 'Mbit/s', middle: 'downlink_mbps',
  low: (r) => r.downlink_low_mbps, high: (r) => r.downlink_high_mbps, measured: (p) => p.measured.downlink_mbps,
  band: 'predicted, and the range to expect',
};
const level: Quantity = {
  title: 'Signal level along the street', axis: 'SS-RSRP, dBm', middle: 'rsrp_dbm',
  low: (r) => r.rsrp_dbm - r.sigma_db, high: (r) => r.rsrp_dbm + r.sigma_db, measured: (p) => p.measured.rsrp_dbm,
  band: 'predicted, give or take one standard deviation',
};

function plot(run: StreetRun, on: OnRun[], quantity: Quantity, units: Units, width: number): SVGElement {
  const along = (d: { along_m: number }): number => inUnits(d.along_m, units);
  const rows = withGaps(run);
  const value = (f: (r: StreetRun['rows'][number]) => number) => (d: (typeof rows)[number]): number => ('gap' in d ? NaN : f(d));
  const measured = on.flatMap(({ along_m, point }) => {
    const v = quantity.measured(point);
    return v === null ? [] : [{ along_m, v, id: point.id, lost: point.measured.connected === false, unmapped: point.cause === 'unmapped' }];
  });
  const drawn = Plot.plot({
    width, height: 250, marginLeft: 52, marginRight: 14, marginBottom: 38, style: { background: 'none', fontSize: '13px', overflow: 'visible' },
    ariaLabel: quantity.title, ariaDescription: `${run.street}, from ${run.node}. The table below holds the same numbers.`,
    x: { label: `from ${run.node} along ${run.street}, ${unitName(units)}`, labelAnchor: 'center', labelArrow: 'none', tickSpacing: 70 },
    y: { label: quantity.axis, grid: true, labelArrow: 'none' },
    symbol: { type: 'identity' },
    marks: [
      Plot.areaY(rows, { x: along, y1: value(quantity.low), y2: value(quantity.high), fill: 'var(--band)', curve: 'linear' }),
      Plot.lineY(rows, { x: along, y: value((r) => Number(r[quantity.middle])), stroke: 'var(--line-predicted)', strokeWidth: 2 }),
      Plot.ruleX([0], { stroke: 'var(--soft)', strokeDasharray: '2 3' }),
      Plot.dot(measured, {
        x: along, y: 'v', symbol: (d: { lost: boolean; unmapped: boolean }) => (d.lost ? 'times' : d.unmapped ? 'diamond' : 'circle'), r: 5,
        fill: (d: { lost: boolean; unmapped: boolean }) => (d.lost ? 'none' : d.unmapped ? '#b0307a' : 'var(--accent)'), stroke: 'var(--ink)', strokeWidth: 1.4,
        title: (d: { id: string; v: number }) => `${d.id}: ${signed(d.v, 1)} ${quantity.axis}`,
      }),
    ],
  }) as unknown as SVGElement;
  // A name on a group without a role is not heard (observablehq/plot#944).
  for (const group of drawn.querySelectorAll('g[aria-label]')) group.setAttribute('role', 'group');
  drawn.setAttribute('role', 'img');
  return drawn;
}

function table(run: StreetRun, on: OnRun[], units: Units): HTMLElement {
  const every = Math.max(1, Math.ceil(run.rows.length / 80));
  const head = ['Along', 'Chance that it holds', 'Link', 'Level, dBm', 'Downlink', 'from', 'to'].map((h, i) =>
    element('th', { scope: 'col', class: 'number' }, i === 0 ? `${h}, ${unitName(units)}` : i >= 4 ? `${h}, Mbit/s` : h));
  const row = (r: StreetRun['rows'][number]): HTMLElement =>
    element('tr', {}, element('th', { scope: 'row', class: 'number' }, signed(inUnits(r.along_m, units), 0)),
      ...[signed(r.p_hold, 2), stateWords[r.state] ?? r.state, signed(r.rsrp_dbm, 1), signed(r.downlink_mbps, 0), signed(r.downlink_low_mbps, 0), signed(r.downlink_high_mbps, 0)].map((t) =>
        element('td', { class: 'number' }, t)));
  const measured = on.filter(({ point }) => point.measured.rsrp_dbm !== null || point.measured.downlink_mbps !== null);
  return element('details', {},
    element('summary', {}, 'The same as a table'),
    element('div', { class: 'table-frame', tabindex: 0, role: 'region', 'aria-label': 'Predicted along the street' },
      element('table', { class: 'rows' }, element('caption', {}, `Predicted along ${run.street} from ${run.node}${every > 1 ? `, every ${every}th place` : ''}`),
        element('thead', {}, element('tr', {}, ...head)), element('tbody', {}, ...run.rows.filter((_, i) => i % every === 0).map(row)))),
    measured.length
      ? element('div', { class: 'table-frame', tabindex: 0, role: 'region', 'aria-label': 'Measured along the street' },
          element('table', { class: 'rows' }, element('caption', {}, 'Measured on it'),
            element('thead', {}, element('tr', {}, ...['Point', `Along, ${unitName(units)}`, 'Level, dBm', 'Downlink, Mbit/s'].map((h) => element('th', { scope: 'col' }, h)))),
            element('tbody', {}, ...measured.map(({ along_m, point }) =>
              element('tr', {}, element('th', { scope: 'row' }, point.id), ...[signed(inUnits(along_m, units), 0), signed(point.measured.rsrp_dbm, 1), signed(point.measured.downlink_mbps, 0)].map((t) => element('td', { class: 'number' }, t)))))))
      : null);
}

/** The run of the street that was shown, or the longest; 0 where there is none. */
export function runOf(answers: Answers, shown?: StreetRun): number {
  const runs = answers.prediction?.runs ?? [];
  const same = runs.findIndex((r) => r.street === shown?.street && r.node === shown.node);
  return same >= 0 ? same : runs.reduce((best, r, i) => (r.rows.length > runs[best]!.rows.length ? i : best), 0);
}

/** Both plots and the table of one street. */
export function streetPlots(site: Site, index: number, units: Units, width: number): Node[] {
  const run = site.answers.prediction?.runs[index];
  if (!run || run.rows.length === 0) return [element('p', {}, 'No street is served, so there is nothing to plot along one.')];
  const on = pointsOnRun(run, site.answers.points);
  const figure = (quantity: Quantity): HTMLElement =>
    element('figure', { class: 'plot' }, element('h3', {}, quantity.title), plot(run, on, quantity, units, width),
      element('figcaption', {}, `Band and line: ${quantity.band}.${on.length ? ' Discs: measured; diamonds: unexplained; crosses: link lost.' : ' No measured point lies on this street.'}`));
  return [element('div', { class: 'plots' }, figure(rate), figure(level)), table(run, on, units)];
}
