// What the answers put on the map: edges of the hold, stretches that drop, points, the chosen path.
import type { Prediction, Xy, Xyz } from '../answers';
import { middleOf } from '../site';
import type { Site } from '../site';
import type { ChosenLink } from '../section/chosen';
import { length, inUnits, signed, unitName } from '../units';
import type { Units } from '../units';
import { plain } from '../words';
import type { StreetMap } from './street_map';
import { EdgeLayer } from './edge_layer';

/** Dashes tell the edges apart: whole, dashed, dotted. */
export const edgeLooks: Record<string, { dash?: [number, number]; words: string }> = {
  '0.9': { words: '9 in 10' },
  '0.5': { dash: [9, 5], words: '1 in 2' },
  '0.1': { dash: [2, 4], words: '1 in 10' },
};

export function edgesOnMap(map: StreetMap, site: Site, edges: Prediction['edges']): void {
  map.symbols.edges = [];
  map.symbols.edgeLabels = [];
  const layer = new EdgeLayer();
  for (const { p_hold, lines } of edges) {
    const key = p_hold.toFixed(1);
    const look = edgeLooks[key];
    if (!look) continue;
    layer.add(lines.map((line) => line.map(([x, y]): Xyz => [x, y, site.street.ground.near(x, y) + 0.25])), map.ink.ink, look.dash);
    map.symbols.edges.push({ lines, dash: look.dash ?? [] });
    for (const line of [...lines].sort((a, b) => b.length - a.length).slice(0, 3)) {
      const at: Xy | undefined = line[Math.floor(line.length * (key === '0.9' ? 0.2 : key === '0.5' ? 0.45 : 0.7))];
      if (at && line.length > 40) map.symbols.edgeLabels.push({ words: look.words, at });
    }
  }
  map.edgeLines(layer);
}

/** `stale` = the site was changed, so that the stretches found for it no longer hold. */
export function dropsOnMap(map: StreetMap, site: Site, units: Units, stale: boolean): void {
  const drops = stale ? [] : (site.answers.prediction?.drops ?? []);
  const lifted = (line: Xyz[]): Xyz[] => line.map(([x, y, z]): Xyz => [x, y, (Number.isFinite(z) ? z : site.street.ground.near(x, y)) + 0.4]);
  map.line('drops', drops.map((d) => lifted(d.line)), { colour: map.ink.drop, width_px: 5, halo: map.ink.halo });
  map.line('measured', site.answers.measured_drops.map((d) => lifted(d.line)), {
    colour: map.ink.ink, width_px: 2, dash_px: [3, 3], through: true,
  });
  map.symbols.dropLabels = drops.flatMap((d) => {
    const at = d.line[Math.floor(d.line.length / 2)];
    const [from, to] = [d.from_m, d.to_m].map((m) => signed(Math.abs(inUnits(m, units)), 0)); // negative = the other way along the street
    const words = `drops ${from === to ? 'at' : `${from} to`} ${to} ${unitName(units)}`;
    return at ? [{ words, at }] : [];
  });
  map.draw();
}

export function pointsOnMap(map: StreetMap, site: Site): void {
  map.symbols.points = site.answers.points;
  map.symbols.suspects = site.answers.suspects;
  map.draw();
}

/** The chosen place, the direct path to it, its mirrored ways and what costs most there. */
export function linkOnMap(map: StreetMap, site: Site, link: ChosenLink | null, units: Units): void {
  const path = link?.from ? [[link.from, link.to]] : [];
  map.line('path', path, { colour: map.ink.accent, width_px: 2.6, halo: map.ink.halo, through: true });
  map.line('reflected', (link?.ledger?.reflected ?? []).map((r) => r.points), {
    colour: map.ink.accent, width_px: 1.6, dash_px: [5, 4], halo: map.ink.halo, through: true,
  });
  map.symbols.chosen = link && Number.isFinite(link.to[0]) ? link.to : null;
  map.symbols.chosenPoint = link?.point ? site.answers.points.indexOf(link.point) : -1;
  map.symbols.thing = link ? thingMark(site, link, units) : null;
  map.draw();
}

function thingMark(site: Site, link: ChosenLink, units: Units): { at: Xyz; words: string } | null {
  const thing = site.scene.things[link.thing];
  if (!thing || !link.from) return null;
  const crossing = link.ledger?.crossings.find((c) => c.thing === link.thing);
  const cut = crossing ?? null;
  const flat = Math.hypot(link.to[0] - link.from[0], link.to[1] - link.from[1]);
  const centre = thing.crown?.center ?? middleOf(site.street, link.thing);
  const [cx, cy] = centre ?? [link.from[0], link.from[1]];
  const along = cut
    ? (cut.enter_m + cut.exit_m) / 2
    : ((cx - link.from[0]) * (link.to[0] - link.from[0]) + (cy - link.from[1]) * (link.to[1] - link.from[1])) / Math.max(flat, 1);
  const t = Math.min(1, Math.max(0, along / Math.max(flat, 1)));
  const at: Xyz = [link.from[0] + t * (link.to[0] - link.from[0]), link.from[1] + t * (link.to[1] - link.from[1]), thing.top_m];
  return { at, words: `${plain(thing.what || thing.id)}, ${length(flat * (1 - t), units)} from here` };
}

/** What there is to see: where anything is predicted or measured, with a margin. */
export async function interesting(site: Site): Promise<[number, number, number, number]> {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  const take = (x: number, y: number): void => {
    box[0] = Math.min(box[0], x);
    box[1] = Math.min(box[1], y);
    box[2] = Math.max(box[2], x);
    box[3] = Math.max(box[3], y);
  };
  for (const node of site.scene.nodes) take(node.position[0], node.position[1]);
  for (const point of site.answers.points) if (point.place) take(point.place[0], point.place[1]);
  for (const drop of site.answers.prediction?.drops ?? []) for (const [x, y] of drop.line) take(x, y);
  if (site.ground) {
    const hold = await site.ground.band('p_hold');
    for (let i = 0; i < hold.length; i += 3) if (hold[i]! !== 255 && hold[i]! >= 100) take(...site.ground.centreOf(i));
  }
  if (!Number.isFinite(box[0])) return site.scene.bounds;
  const margin = 0.06 * Math.max(box[2] - box[0], box[3] - box[1], 60);
  return [box[0] - margin, box[1] - margin, box[2] + margin, box[3] + margin];
}
