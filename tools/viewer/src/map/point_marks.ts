// The signs of measured points: the shape says the cause, filled or hollow says whether the link held,
// colour only repeats it. Paths fit a box of -1 to 1, for the map, the legend and the static map.
import { causeLooks } from '../ramps';
import type { Point } from '../answers';

const disc = 'M1 0A1 1 0 1 1 -1 0A1 1 0 1 1 1 0Z';
const square = 'M-.85 -.85H.85V.85H-.85Z';
const up = 'M0 -1.05L1.05 .85H-1.05Z';
const diamond = 'M0 -1.2L1.2 0L0 1.2L-1.2 0Z';
const leaf = 'M0 -1.1C.9 -.8 1.1 .2 0 1.1C-1.1 .2 -.9 -.8 0 -1.1Z';
const bar = 'M-.4 -1.15H.4V1.15H-.4Z';
const flat = 'M-1.2 -.6H1.2V.6H-1.2Z';
const hexagon = 'M-.6 -1H.6L1.15 0L.6 1H-.6L-1.15 0Z';
const down = 'M0 1.05L1.05 -.85H-1.05Z';

export const shapes: Record<string, string> = {
  none: disc, distance: down, sector: hexagon, terrain: up, building: square, foliage: leaf, pole: bar, vehicle: flat,
  object: flat, enclosure: square, body: hexagon, unmapped: diamond, load: hexagon, position: disc,
};

export interface PointMark {
  path: string;
  fill: string;
  letter: string; // in it
  lost: boolean; // hollow, with a stroke across
}

export function markOf(point: Pick<Point, 'cause' | 'measured'>): PointMark {
  return {
    path: shapes[point.cause] ?? hexagon,
    fill: point.cause === 'none' ? '#0b4f86' : (causeLooks[point.cause]?.colour ?? '#666666'),
    letter: point.cause === 'unmapped' ? '?' : '',
    lost: point.measured.connected === false,
  };
}
