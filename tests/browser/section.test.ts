// What the plane of a path cuts, against closed forms.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import type { Scene, Xyz } from '../../tools/viewer/src/answers';
import { cutThings, groundLine, insideRings } from '../../tools/viewer/src/section/cut';
import { fresnelRing, wavelength_m, widest_m } from '../../tools/viewer/src/section/fresnel';
import { decodedScene } from '../../tools/viewer/src/site';
import { wind } from '../../tools/viewer/src/page/points_table';
import { groundAt, inventedScene } from './invented_town';

test('a segment through a square with a courtyard', () => {
  const square: [number, number][] = [[0, 0], [10, 0], [10, 10], [0, 10]];
  const yard: [number, number][] = [[4, 4], [6, 4], [6, 6], [4, 6]];
  assert.deepEqual(insideRings([-10, 5], [20, 5], [square]), [[10 / 30, 20 / 30]]);
  const through = insideRings([-10, 5], [20, 5], [square, yard]).flat();
  [10 / 30, 14 / 30, 16 / 30, 20 / 30].forEach((wanted, i) => assert.ok(Math.abs(through[i]! - wanted) < 1e-12));
  assert.deepEqual(insideRings([-10, 0], [20, 0], [square]).length <= 1, true); // along an edge: once or not, never torn
  assert.deepEqual(insideRings([5, 5], [5, 30], [square]), [[0, 5 / 25]]); // begins inside
  assert.deepEqual(insideRings([-10, 12], [20, 12], [square]), []);
});

test('the first Fresnel zone is an ellipse with the ends as foci', () => {
  // ITU-R P.526 section 2: every way over its rim is half a wavelength longer.
  const [from, to]: [[number, number], [number, number]] = [[0, 9], [180, 1.5]];
  const d = Math.hypot(180, 7.5);
  const lambda = wavelength_m(28);
  assert.ok(Math.abs(lambda - 0.0107069) < 1e-6); // c / 28 GHz
  for (const [s, z] of fresnelRing(from, to, 28)) {
    const way = Math.hypot(s - from[0], z - from[1]) + Math.hypot(s - to[0], z - to[1]);
    assert.ok(Math.abs(way - d - lambda / 2) < 1e-9);
  }
  // And at its middle it is near the usual radius, half the root of wavelength times distance.
  assert.ok(Math.abs(widest_m(d, 28) / (0.5 * Math.sqrt(lambda * d)) - 1) < 1e-3);
});

test('houses, crowns and poles are cut where they stand', async () => {
  const scene: Scene = inventedScene({ seed: 5, buildings: 60, half_m: 120 });
  const street = await decodedScene(scene);
  const crown = scene.things.find((t) => t.crown)!;
  const [cx, cy, cz] = crown.crown!.center;
  const at = (x: number, y: number, z: number): Xyz => [x, y, z];
  const shapes = cutThings(street, at(cx - 40, cy, cz), at(cx + 40, cy, cz), 0.5);
  const cut = shapes.find((s) => scene.things[s.thing] === crown)!;
  assert.equal(cut.beside, false);
  const along = cut.ring.map(([s]) => s);
  // A sphere of ten by six facets lies inside its ellipsoid: the middle cut is its width, but for the facets.
  assert.ok(Math.abs(Math.min(...along) - (40 - crown.crown!.radius_m)) < 0.08 * crown.crown!.radius_m);
  const house = scene.things.findIndex((t) => t.kind === 'building');
  const ring = scene.outlines.find((o) => o.thing === house)!.rings[0]!;
  const mx = (ring[0]![0] + ring[2]![0]) / 2;
  const my = (ring[0]![1] + ring[2]![1]) / 2;
  const cutHouse = cutThings(street, at(mx, my - 30, 40), at(mx, my + 30, 40), 0.5).find((s) => s.thing === house)!;
  const zs = cutHouse.ring.map(([, z]) => z);
  assert.deepEqual([Math.min(...zs), Math.max(...zs)], [scene.things[house]!.base_m, scene.things[house]!.top_m]);
  // A pole 0.12 m thick, passed at 0.6 m: not cut, but beside the path within a reach of 1 m and not of 0.3 m.
  const pole = scene.things.findIndex((t) => t.kind === 'pole');
  const solid = street.solids.find((s) => s.kind === 'pole')!;
  const v = 3 * solid.indices[3 * scene.things[pole]!.first_triangle]!;
  const [px, py] = [solid.vertices[v]! - 0.12, solid.vertices[v + 1]!];
  const passing = (reach: number) => cutThings(street, at(px - 20, py + 0.6, 33), at(px + 20, py + 0.6, 33), reach).find((s) => s.thing === pole);
  assert.equal(passing(1)?.beside, true);
  assert.equal(passing(0.3), undefined);
});

test('the ground under a path is the ground', async () => {
  const street = await decodedScene(inventedScene({ seed: 5, buildings: 4, half_m: 120 }));
  const line = groundLine(street, [-100, 10, 20], [100, 30, 5]);
  assert.ok(line.length > 190);
  for (const [s, z] of line) {
    const t = s / Math.hypot(200, 20);
    assert.ok(Math.abs(z - groundAt(-100 + 200 * t, 10 + 20 * t)) < 0.05); // bilinear on 5 m squares
  }
});

test('winds by their names', () => {
  assert.equal(wind(0, 5), 'north');
  assert.equal(wind(5, 0), 'east');
  assert.equal(wind(-3, -3), 'southwest');
  assert.equal(wind(-5, 0.1), 'west');
});
