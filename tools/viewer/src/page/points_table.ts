// Every measured point: what was predicted, what came, why, and what to do.
import type { Point } from '../answers';
import type { Site } from '../site';
import { inUnits, length, said, signed, unitName } from '../units';
import type { Units } from '../units';
import { causeWord, percent } from '../words';
import { drawing, element } from './element';
import { markOf } from '../map/point_marks';
import { sortableTable } from './sortable_table';
import type { SortableTable } from './sortable_table';

export function markDrawing(point: Pick<Point, 'cause' | 'measured'>): SVGElement {
  const mark = markOf(point);
  const svg = drawing('svg', { viewBox: '-1.5 -1.5 3 3', class: 'point-mark', 'aria-hidden': 'true' },
    drawing('path', { d: mark.path, fill: mark.lost ? 'none' : mark.fill, stroke: mark.lost ? mark.fill : '#10151f', 'stroke-width': mark.lost ? 0.42 : 0.2 }));
  if (mark.lost) svg.append(drawing('path', { d: 'M-.6 .6L.6 -.6', stroke: mark.fill, 'stroke-width': 0.42 }));
  if (mark.letter) svg.append(drawing('text', { x: 0, y: 0.5, 'text-anchor': 'middle', 'font-size': 1.5, 'font-weight': 700, fill: '#ffffff' }, mark.letter));
  return svg;
}

/** Sixteen winds, from an easting and a northing. */
export function wind(east: number, north: number): string {
  const names = ['north', 'north-northeast', 'northeast', 'east-northeast', 'east', 'east-southeast', 'southeast', 'south-southeast',
    'south', 'south-southwest', 'southwest', 'west-southwest', 'west', 'west-northwest', 'northwest', 'north-northwest'];
  return names[(Math.round(Math.atan2(east, north) / (Math.PI / 8)) + 16) % 16]!;
}

export function pointsTable(site: Site, units: Units, chosen: (index: number) => void): SortableTable {
  const points = site.answers.points;
  const many = new Set(points.map((p) => p.survey)).size > 1;
  const number = (v: number | null | undefined): number => (v == null ? NaN : v);
  const level = (p: Point): number => Number(p.ledger?.row['rsrp_dbm'] || NaN);
  // A point without a name of its own goes by its survey already.
  const name = (p: Point): string => (many && !p.id.startsWith(p.survey.split(' ')[0]!) ? `${p.id} · ${p.survey}` : p.id);
  return sortableTable(
    'Points, what was predicted and measured there, and why they differ', points,
    [
      { name: 'Point', cell: (p) => element('span', { class: 'point-id' }, markDrawing(p), name(p)), key: (p) => p.id },
      { name: `From the node, ${unitName(units)}`, cell: (p) => (p.distance_m == null ? '–' : signed(inUnits(p.distance_m, units), 0)), key: (p) => number(p.distance_m), numeric: true },
      { name: 'Measured, dBm', cell: (p) => signed(p.measured.rsrp_dbm, 1), key: (p) => number(p.measured.rsrp_dbm), numeric: true },
      { name: 'Predicted, dBm', cell: (p) => signed(level(p), 1), key: level, numeric: true },
      { name: 'Difference, dB', cell: (p) => signed(p.residual_db, 1), key: (p) => number(p.residual_db), numeric: true },
      { name: 'Mbit/s', cell: (p) => signed(p.measured.downlink_mbps, 0), key: (p) => number(p.measured.downlink_mbps), numeric: true },
      { name: 'Link', cell: (p) => (p.measured.connected === null ? '–' : p.measured.connected ? 'held' : 'lost'), key: (p) => String(p.measured.connected) },
      { name: 'Cause', cell: (p) => causeWord(p.cause), key: (p) => causeWord(p.cause) },
      { name: 'Sure', cell: (p) => (p.kind === 'measured' ? percent(p.confidence) : '–'), key: (p) => p.confidence, numeric: true },
      { name: 'Step to regain it', cell: (p) => (p.step ? `${length(p.step.distance_m, units)} ${wind(p.step.east_m, p.step.north_m)}` : '–'), key: (p) => p.step?.distance_m ?? NaN },
    ],
    {
      chosen, below: (p) => element('span', { class: 'in-words' }, said(p.sentence, units)),
      unprinted: site.answers.live ? 'All are on the page.' : 'All are in explained.csv beside this page.',
    },
  );
}
