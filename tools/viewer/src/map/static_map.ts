// The map as a drawing without WebGL, for paper and for browsers that have none: the same ground table,
// outlines, edges and points, from above.
import type { Xy } from '../answers';
import { drawing, element } from '../page/element';
import type { Site } from '../site';
import { length, roundLength } from '../units';
import type { Units } from '../units';
import type { GroundPaint } from './ground_paint';
import { edgeLooks } from './map_contents';
import type { Looks } from './looks';
import { markOf } from './point_marks';

/** The ground's cells as a picture, a pixel each, north up; hatches become darker diagonals. */
function groundPicture(site: Site, paint: GroundPaint): string {
  const { columns, rows } = site.ground!.grid;
  const canvas = element('canvas', { width: columns, height: rows });
  const pen = canvas.getContext('2d');
  if (!pen) return '';
  const picture = pen.createImageData(columns, rows);
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) {
      const code = paint.codes[r * columns + c]!;
      const to = 4 * ((rows - 1 - r) * columns + c);
      if (code === 255) continue;
      const hatch = paint.colours[4 * code + 3]!;
      const lined = (hatch === 4 && ((c + r) % 6 === 0 || (c - r + 6000) % 6 === 0)) || (hatch >= 1 && hatch !== 4 && (c + r) % (hatch === 1 ? 14 : 6) === 0);
      for (let k = 0; k < 3; k++) picture.data[to + k] = paint.colours[4 * code + k]! * (lined ? 0.8 : 1);
      picture.data[to + 3] = 255;
    }
  pen.putImageData(picture, 0, 0);
  return canvas.toDataURL('image/png');
}

export function staticMap(
  site: Site, paint: GroundPaint | null, box: [number, number, number, number], looks: Looks, units: Units, chosen?: (index: number) => void,
): SVGElement {
  const wide = 1000;
  const scale = wide / (box[2] - box[0]);
  const high = Math.round((box[3] - box[1]) * scale);
  const x = (v: number): string => ((v - box[0]) * scale).toFixed(1);
  const y = (v: number): string => ((box[3] - v) * scale).toFixed(1);
  const line = (points: readonly (readonly number[])[]): string => points.map((p, i) => `${i ? 'L' : 'M'}${x(p[0]!)} ${y(p[1]!)}`).join('');
  const inside = (p: readonly number[]): boolean => p[0]! >= box[0] && p[0]! <= box[2] && p[1]! >= box[1] && p[1]! <= box[3];
  const svg = drawing('svg', { viewBox: `0 0 ${wide} ${high}`, class: 'static-map', role: 'group', 'aria-label': 'Map of the predicted hold, from above' });
  svg.append(drawing('rect', { width: wide, height: high, fill: looks.paper }));
  if (site.ground && paint) {
    const { grid } = site.ground;
    const picture = groundPicture(site, paint);
    const [west, north] = [grid.x0_m - grid.step_m / 2, grid.y0_m + (grid.rows - 0.5) * grid.step_m];
    svg.append(drawing('image', {
      href: picture, x: x(west), y: y(north), width: (grid.columns * grid.step_m * scale).toFixed(1), height: (grid.rows * grid.step_m * scale).toFixed(1),
      preserveAspectRatio: 'none', style: 'image-rendering: auto',
    }));
  }
  const path = (d: string, attributes: Record<string, string | number>): void => {
    if (d) svg.append(drawing('path', { d, ...attributes }));
  };
  path(site.scene.outlines.flatMap((o) => o.rings.filter((r) => r.some(inside)).map((r) => `${line(r)}Z`)).join(''),
    { fill: looks.roof, stroke: looks.edge, 'stroke-width': 0.8, 'fill-rule': 'evenodd' });
  for (const thing of site.scene.things) {
    if (!thing.crown || !inside(thing.crown.center)) continue;
    svg.append(drawing('circle', { cx: x(thing.crown.center[0]), cy: y(thing.crown.center[1]), r: (thing.crown.radius_m * scale).toFixed(1), fill: looks.crown, 'fill-opacity': 0.55 }));
  }
  for (const { p_hold, lines } of site.ground?.edges ?? []) {
    const look = edgeLooks[p_hold.toFixed(1)];
    const d = lines.filter((l) => l.some(inside)).map((l) => line(l)).join('');
    path(d, { fill: 'none', stroke: looks.halo, 'stroke-width': 3.2, 'stroke-opacity': 0.55 });
    path(d, { fill: 'none', stroke: looks.ink, 'stroke-width': 1.3, ...(look?.dash ? { 'stroke-dasharray': look.dash.join(' ') } : {}) });
  }
  for (const drop of site.answers.prediction?.drops ?? []) path(line(drop.line), { fill: 'none', stroke: looks.drop, 'stroke-width': 6 });
  for (const measured of site.answers.measured_drops) path(line(measured.line), { fill: 'none', stroke: looks.ink, 'stroke-width': 2, 'stroke-dasharray': '3 3' });
  for (const street of site.scene.streets) {
    const at = street.line[Math.floor(street.line.length * 0.3)];
    if (street.name && at && inside(at)) svg.append(named(street.name, [Number(x(at[0])), Number(y(at[1]))], looks, 15));
  }
  for (const node of site.scene.nodes) {
    const [nx, ny] = [Number(x(node.position[0])), Number(y(node.position[1]))];
    for (const sector of node.sectors) {
      const rim = [-1, -0.5, 0, 0.5, 1].map((k): Xy => {
        const a = ((sector.azimuth_deg + (sector.beamwidth_deg / 2) * k) * Math.PI) / 180;
        return [nx + 48 * Math.sin(a), ny - 48 * Math.cos(a)];
      });
      path(`M${nx} ${ny}${rim.map((p) => `L${p[0].toFixed(1)} ${p[1].toFixed(1)}`).join('')}Z`, { fill: looks.node, 'fill-opacity': 0.28, stroke: looks.node, 'stroke-width': 1.4 });
    }
    path(`M${nx} ${ny - 9}l9 9l-9 9l-9 -9z`, { fill: looks.node, stroke: looks.halo, 'stroke-width': 1.5 });
    svg.append(named(node.id, [nx, ny - 16], looks, 16, 700));
  }
  site.answers.points.forEach((point, i) => {
    if (!point.place) return;
    const mark = markOf(point);
    const sign = drawing('path', {
      d: mark.path, transform: `translate(${x(point.place[0])} ${y(point.place[1])}) scale(8)`, 'stroke-width': 0.25,
      fill: mark.lost ? looks.halo : mark.fill, stroke: mark.lost ? mark.fill : looks.ink,
    }, drawing('title', {}, point.id));
    if (chosen) {
      sign.addEventListener('click', () => chosen(i));
      sign.setAttribute('class', 'choosable');
    }
    svg.append(sign);
  });
  svg.append(...scaleBar(high, scale, looks, units), drawing('path', { d: `M${wide - 30} 14l8 26l-8 -6l-8 6z`, fill: looks.ink, stroke: looks.halo }), named('N', [wide - 30, 56], looks, 15, 700));
  return svg;
}

function named(words: string, [x, y]: Xy, looks: Looks, size: number, weight = 500): SVGElement {
  return drawing('text', {
    x, y, 'text-anchor': 'middle', 'font-size': size, 'font-weight': weight, fill: looks.ink, stroke: looks.halo, 'stroke-width': 3.5, 'paint-order': 'stroke', 'stroke-linejoin': 'round',
  }, words);
}

function scaleBar(high: number, scale: number, looks: Looks, units: Units): SVGElement[] {
  const bars = [roundLength(130 / scale), roundLength(130 / scale / 0.3048) * 0.3048];
  const names = [length(bars[0]!, 'metric'), length(bars[1]!, 'imperial')];
  const order = units === 'metric' ? [0, 1] : [1, 0];
  return order.flatMap((i, k) => {
    const y = high - 34 + 4 * k;
    const tick = k === 0 ? -8 : 8;
    const words = drawing('text', { x: 24, y: y + (k === 0 ? -10 : 20), 'font-size': 14, 'font-weight': 600, fill: looks.ink, stroke: looks.halo, 'stroke-width': 3.5, 'paint-order': 'stroke' }, names[i]!);
    const d = `M18 ${y + tick}V${y}H${(18 + bars[i]! * scale).toFixed(1)}V${y + tick}`;
    return [drawing('path', { d, fill: 'none', stroke: looks.halo, 'stroke-width': 5 }), drawing('path', { d, fill: 'none', stroke: looks.ink, 'stroke-width': 1.8 }), words];
  });
}
