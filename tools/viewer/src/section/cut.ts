// What the upright plane of a path cuts: the street seen from the side. Pure geometry of the scene's own
// outlines and triangles.
import { polygonHull } from 'd3-polygon';
import type { Thing, Xy, Xyz } from '../answers';
import type { Street3d } from '../site';

/** A place in the plane of the section: metres along the ground from the antenna, scene z. */
export type Along = [number, number];

export interface CutShape {
  thing: number; // index in the scene's things
  kind: Thing['kind'];
  /** Not cut by the plane, but within reach of the beam beside it. */
  beside: boolean;
  ring: Along[];
}

type Box = [number, number, number, number];

/** Ground boxes of all things, made once a scene. */
const boxes = new WeakMap<Street3d, Box[]>();

function boxesOf(street: Street3d): Box[] {
  const known = boxes.get(street);
  if (known) return known;
  const found = street.scene.things.map((): Box => [Infinity, Infinity, -Infinity, -Infinity]);
  for (const solid of street.solids)
    for (const index of solid.things) {
      const [thing, box] = [street.scene.things[index]!, found[index]!];
      for (let i = 3 * thing.first_triangle; i < 3 * (thing.first_triangle + thing.triangles); i++) {
        const v = 3 * solid.indices[i]!;
        const [x, y] = [solid.vertices[v]!, solid.vertices[v + 1]!];
        box[0] = Math.min(box[0], x);
        box[1] = Math.min(box[1], y);
        box[2] = Math.max(box[2], x);
        box[3] = Math.max(box[3], y);
      }
    }
  boxes.set(street, found);
  return found;
}

/** Where a segment runs inside rings (even-odd), as fractions of it. */
export function insideRings(from: Xy, to: Xy, rings: Xy[][]): [number, number][] {
  const at: number[] = [];
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  for (const ring of rings)
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [a, b] = [ring[j]!, ring[i]!];
      // Side of the line: a corner on it counts as above, so that it is crossed once.
      const [sa, sb] = [dx * (a[1] - from[1]) - dy * (a[0] - from[0]), dx * (b[1] - from[1]) - dy * (b[0] - from[0])];
      if (sa >= 0 === sb >= 0) continue;
      const u = sa / (sa - sb);
      const [x, y] = [a[0] + u * (b[0] - a[0]), a[1] + u * (b[1] - a[1])];
      at.push(((x - from[0]) * dx + (y - from[1]) * dy) / (dx * dx + dy * dy));
    }
  at.sort((a, b) => a - b);
  const spans: [number, number][] = [];
  for (let i = 0; i + 1 < at.length; i += 2) {
    const [low, high] = [Math.max(0, at[i]!), Math.min(1, at[i + 1]!)];
    if (high > low) spans.push([low, high]);
  }
  return spans;
}

/** The plane's line through each triangle it cuts. */
function cutTriangles(street: Street3d, index: number, from: Xyz, unit: Xy): Along[][] {
  const thing = street.scene.things[index]!;
  const solid = street.solids.find((s) => s.kind === thing.kind);
  const lines: Along[][] = [];
  if (!solid) return lines;
  const corner = (i: number): { along: number; aside: number; z: number } => {
    const v = 3 * solid.indices[i]!;
    const [x, y] = [solid.vertices[v]! - from[0], solid.vertices[v + 1]! - from[1]];
    return { along: x * unit[0] + y * unit[1], aside: x * unit[1] - y * unit[0], z: solid.vertices[v + 2]! };
  };
  for (let t = thing.first_triangle; t < thing.first_triangle + thing.triangles; t++) {
    const corners = [corner(3 * t), corner(3 * t + 1), corner(3 * t + 2)];
    const line: Along[] = [];
    for (let i = 0; i < 3; i++) {
      const [a, b] = [corners[i]!, corners[(i + 1) % 3]!];
      if (a.aside >= 0 === b.aside >= 0) continue;
      const u = a.aside / (a.aside - b.aside);
      line.push([a.along + u * (b.along - a.along), a.z + u * (b.z - a.z)]);
    }
    if (line.length === 2) lines.push(line);
  }
  return lines;
}

/** A thing beside the plane, as it stands against it. */
function shadowOf(street: Street3d, index: number, from: Xyz, unit: Xy, reach: number, far: number): Along[] {
  const thing = street.scene.things[index]!;
  const solid = street.solids.find((s) => s.kind === thing.kind);
  const seen: Along[] = [];
  let nearest = Infinity;
  if (!solid) return seen;
  for (let i = 3 * thing.first_triangle; i < 3 * (thing.first_triangle + thing.triangles); i++) {
    const v = 3 * solid.indices[i]!;
    const [x, y] = [solid.vertices[v]! - from[0], solid.vertices[v + 1]! - from[1]];
    const along = x * unit[0] + y * unit[1];
    if (along < 0 || along > far) continue;
    nearest = Math.min(nearest, Math.abs(x * unit[1] - y * unit[0]));
    seen.push([along, solid.vertices[v + 2]!]);
  }
  return nearest <= reach ? (polygonHull(seen) ?? []) : [];
}

/** Everything that the plane from one place to another cuts, or that stands within reach_m of it. */
export function cutThings(street: Street3d, from: Xyz, to: Xyz, reach_m: number): CutShape[] {
  const far = Math.hypot(to[0] - from[0], to[1] - from[1]);
  if (far < 0.1) return [];
  const unit: Xy = [(to[0] - from[0]) / far, (to[1] - from[1]) / far];
  const outlines = new Map(street.scene.outlines.map((o) => [o.thing, o.rings]));
  const shapes: CutShape[] = [];
  boxesOf(street).forEach((box, index) => {
    if (!nearSegment(box, from, unit, far, reach_m)) return;
    const thing = street.scene.things[index]!;
    const { kind, base_m, top_m } = thing;
    const rings = outlines.get(index);
    if (rings) {
      for (const [a, b] of insideRings([from[0], from[1]], [to[0], to[1]], rings)) {
        const ring: Along[] = [[a * far, base_m], [b * far, base_m], [b * far, top_m], [a * far, top_m]];
        shapes.push({ thing: index, kind, beside: false, ring });
      }
      return;
    }
    const lines = cutTriangles(street, index, from, unit).filter((l) => l.some(([s]) => s >= 0 && s <= far));
    const hull = polygonHull(lines.flat());
    if (hull) {
      shapes.push({ thing: index, kind, beside: false, ring: hull });
      return;
    }
    const ring = shadowOf(street, index, from, unit, reach_m, far);
    if (ring.length > 2) shapes.push({ thing: index, kind, beside: true, ring });
  });
  return shapes;
}

function nearSegment([west, south, east, north]: Box, from: Xyz, unit: Xy, far: number, reach: number): boolean {
  if (!(east >= west)) return false;
  const [cx, cy] = [(west + east) / 2 - from[0], (south + north) / 2 - from[1]];
  const half = Math.hypot(east - west, north - south) / 2 + reach;
  const along = cx * unit[0] + cy * unit[1];
  return along > -half && along < far + half && Math.abs(cx * unit[1] - cy * unit[0]) < half;
}

/** The ground under the path, a height about every metre. */
export function groundLine(street: Street3d, from: Xyz, to: Xyz): Along[] {
  const far = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const steps = Math.min(1500, Math.max(2, Math.ceil(far)));
  const line: Along[] = [];
  for (let i = 0; i <= steps; i++) {
    const t = i / steps;
    const z = street.ground.heightAt(from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1]));
    if (Number.isFinite(z)) line.push([t * far, z]);
  }
  return line;
}
