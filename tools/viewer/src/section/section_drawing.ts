// The path section: the street from the side, with what the beam has to pass. Heights are drawn larger than
// lengths, and the drawing says by how much.
import type { Thing } from '../answers';
import { drawing } from '../page/element';
import type { Site } from '../site';
import { inUnits, length, roundLength, unitName } from '../units';
import type { Units } from '../units';
import { plain } from '../words';
import type { ChosenLink } from './chosen';
import { cutThings, groundLine } from './cut';
import type { Along, CutShape } from './cut';
import { fresnelRing, widest_m } from './fresnel';

const [wide, high] = [460, 236];
const margin = { left: 40, right: 14, top: 16, bottom: 34 };

export interface SectionFacts {
  svg: SVGElement;
  exaggeration: number;
  cut: CutShape[];
}

export function sectionDrawing(site: Site, link: ChosenLink, units: Units): SectionFacts | null {
  if (!link.from || !Number.isFinite(link.to[0])) return null;
  const { from, to } = link;
  const far = Math.hypot(to[0] - from[0], to[1] - from[1]);
  if (far < 0.5) return null;
  const [start, end]: [Along, Along] = [[0, from[2]], [far, to[2]]];
  const reach = widest_m(Math.hypot(far, to[2] - from[2]), link.frequency_ghz) * 1.2 + 0.3;
  const cut = cutThings(site.street, from, to, reach);
  const ground = groundLine(site.street, from, to);
  const rayAt = (s: number): number => from[2] + ((to[2] - from[2]) * Math.min(far, Math.max(0, s))) / far;

  const low = Math.min(from[2] - 8, to[2] - 1.5, ...ground.map(([, z]) => z)) - 1;
  // High things are cut off a little above the ray: what matters is whether they reach it.
  const tops = cut.map((c) => Math.min(Math.max(...c.ring.map(([, z]) => z)), rayAt(c.ring[0]![0]) + 9));
  const highest = Math.max(from[2] + 2, to[2] + 2, ...tops) + 1;
  const inner = { w: wide - margin.left - margin.right, h: high - margin.top - margin.bottom };
  const x = (s: number): number => margin.left + (s / far) * inner.w;
  const y = (z: number): number => margin.top + ((highest - z) / (highest - low)) * inner.h;
  const ring = (points: Along[]): string => points.map(([s, z]) => `${x(s).toFixed(1)},${y(z).toFixed(1)}`).join(' ');
  const exaggeration = (inner.h / (highest - low)) / (inner.w / far);

  const title = describe(site, link, cut, units);
  const svg = drawing('svg', { viewBox: `0 0 ${wide} ${high}`, role: 'img', 'aria-label': title, class: 'section' });
  const clip = drawing('clipPath', { id: 'section-clip' }, drawing('rect', { x: margin.left, y: margin.top - 10, width: inner.w, height: inner.h + 10 }));
  svg.append(drawing('defs', {}, clip));
  const body = drawing('g', { 'clip-path': 'url(#section-clip)' });
  for (const shape of [...cut].sort((a, b) => Number(b.beside) - Number(a.beside))) body.append(shapeDrawing(site, shape, link.thing, ring));
  if (ground.length > 1) {
    body.append(drawing('polygon', { points: `${ring(ground)} ${x(far)},${y(low)} ${x(0)},${y(low)}`, class: 'section-ground' }));
  }
  body.append(drawing('polygon', { points: ring(fresnelRing(start, end, link.frequency_ghz)), class: 'section-fresnel' }));
  body.append(drawing('line', { x1: x(0), y1: y(from[2]), x2: x(far), y2: y(to[2]), class: 'section-ray' }));
  const footNode = site.street.ground.near(from[0], from[1], from[2] - 8);
  const footPhone = site.street.ground.near(to[0], to[1], to[2] - 1.5);
  body.append(drawing('line', { x1: x(0), x2: x(0), y1: y(from[2]), y2: y(footNode), class: 'section-mast' }));
  body.append(drawing('line', { x1: x(far), x2: x(far), y1: y(to[2]), y2: y(footPhone), class: 'section-mast' }));
  svg.append(body);
  svg.append(drawing('path', { d: `M${x(0)} ${y(from[2]) - 7}l7 7l-7 7l-7 -7z`, class: 'section-node' }));
  svg.append(drawing('circle', { cx: x(far), cy: y(to[2]), r: 5, class: 'section-phone' }));
  const ledger = link.ledger;
  if (ledger?.clearance_at_m != null && ledger.clearance_m != null) {
    const s = ledger.clearance_at_m;
    svg.append(drawing('circle', { cx: x(s), cy: y(rayAt(s)), r: 4, class: 'section-tight' }));
  }
  svg.append(axes(far, low, highest, site.scene.elevation_offset_m, x, y, units));
  svg.append(drawing('text', { x: x(0) + 10, y: y(from[2]) - 8, class: 'section-name' }, link.node || 'node'));
  svg.append(drawing('text', { x: x(far) - 8, y: y(to[2]) - 10, class: 'section-name', 'text-anchor': 'end' }, 'phone'));
  const named = cut.find((c) => c.thing === link.thing && link.thing >= 0);
  if (named) {
    const middle = named.ring.reduce((sum, [s]) => sum + s, 0) / named.ring.length;
    const top = Math.max(margin.top + 10, y(Math.max(...named.ring.map(([, z]) => z))) - 5);
    const thing = site.scene.things[named.thing]!;
    const right = x(middle) > wide * 0.6;
    svg.append(drawing('text', { x: x(middle), y: top, class: 'section-culprit', 'text-anchor': right ? 'end' : x(middle) < wide * 0.3 ? 'start' : 'middle' }, plain(thing.id || thing.what)));
  }
  return { svg, exaggeration, cut };
}

function shapeDrawing(site: Site, shape: CutShape, culprit: number, ring: (points: Along[]) => string): SVGElement {
  const thing: Thing = site.scene.things[shape.thing]!;
  const look = shape.kind === 'crown' || shape.kind === 'canopy' ? 'leaf' : shape.kind;
  return drawing(
    'polygon',
    { points: ring(shape.ring), class: `section-thing section-${look}${shape.beside ? ' beside' : ''}${shape.thing === culprit ? ' culprit' : ''}` },
    drawing('title', {}, `${plain(thing.what)} ${thing.id}${shape.beside ? ', beside the path' : ''}`),
  );
}

function axes(
  far: number, low: number, highest: number, offset: number, x: (s: number) => number, y: (z: number) => number, units: Units,
): SVGElement {
  const group = drawing('g', { class: 'section-axes' });
  const step = roundLength(inUnits(far, units) / 3.5);
  const perUnit = units === 'metric' ? 1 : 0.3048;
  for (let s = 0; s * perUnit <= far; s += step) {
    group.append(drawing('line', { x1: x(s * perUnit), x2: x(s * perUnit), y1: high - margin.bottom, y2: high - margin.bottom + 5 }));
    group.append(drawing('text', { x: x(s * perUnit), y: high - margin.bottom + 17, 'text-anchor': 'middle' }, String(s)));
  }
  group.append(drawing('text', { x: x(far / 2), y: high - 3, 'text-anchor': 'middle' }, `along the path from the node, ${unitName(units)}`));
  const rise = roundLength(inUnits(highest - low, units) / 2.5);
  const first = Math.ceil(inUnits(low + offset, units) / rise) * rise;
  for (let z = first; z * perUnit - offset < highest; z += rise) {
    const at = y(z * perUnit - offset);
    group.append(drawing('line', { x1: margin.left - 5, x2: margin.left, y1: at, y2: at }));
    group.append(drawing('text', { x: margin.left - 8, y: at + 4, 'text-anchor': 'end' }, String(Math.round(z))));
  }
  group.append(drawing('text', { x: 4, y: 11 }, `elevation, ${unitName(units)}`));
  return group;
}

/** The drawing in words, for those who hear it. */
function describe(site: Site, link: ChosenLink, cut: CutShape[], units: Units): string {
  const far = Math.hypot(link.to[0] - link.from![0], link.to[1] - link.from![1]);
  const through = [...new Set(cut.filter((c) => !c.beside).map((c) => plain(site.scene.things[c.thing]!.what)))];
  const beside = cut.filter((c) => c.beside).length;
  return (
    `Section from ${link.node || 'the node'} to the phone, ${length(far, units)} along the ground. ` +
    (through.length ? `The plane of the path cuts: ${through.join(', ')}. ` : 'The plane of the path cuts nothing but ground. ') +
    (beside ? `${beside} things stand close beside it.` : '')
  );
}
