// What the invented town's map says: a plain sight march over its roofs with made-up losses, good
// enough to look like a prediction and nothing more.
import { contours } from 'd3-contour';
import type { Bands, GridSpec, Prediction, Scene, StreetRun, Xy, Xyz } from '../../tools/viewer/src/answers';
import { fromTown, groundAt, packed } from './invented_town';

export interface Spot {
  sight: 0 | 1 | 2 | 3;
  cause: string;
  thing: number;
  sector: number;
  distance_m: number;
  free_space_db: number;
  diffraction_db: number;
  foliage_db: number;
  gas_rain_db: number;
  pattern_db: number;
  reflection_gain_db: number;
  path_loss_db: number;
  rsrp_dbm: number;
  snr_db: number;
  p_hold: number;
  downlink_mbps: number;
  uplink_mbps: number;
}

export const causes = ['none', 'distance', 'sector', 'terrain', 'building', 'foliage', 'pole', 'vehicle'];
const sigma = 5;
export const perElementDb = -35.2;

/** Index of the building over each metre square, for the march. */
class Roofs {
  readonly step = 2;
  readonly side: number;
  readonly owner: Int32Array;
  constructor(readonly scene: Scene, readonly half: number) {
    this.side = Math.ceil((2 * half) / this.step);
    this.owner = new Int32Array(this.side * this.side).fill(-1);
    for (const { thing, rings } of scene.outlines) {
      const ring = rings[0]!;
      const [xs, ys] = [ring.map((p) => p[0]), ring.map((p) => p[1])];
      for (let x = Math.min(...xs); x <= Math.max(...xs); x += this.step / 2)
        for (let y = Math.min(...ys); y <= Math.max(...ys); y += this.step / 2)
          if (within(ring, x, y)) {
            const at = this.at(x, y);
            if (at >= 0) this.owner[at] = thing;
          }
    }
  }
  at(x: number, y: number): number {
    const [c, r] = [Math.floor((x + this.half) / this.step), Math.floor((y + this.half) / this.step)];
    return c < 0 || r < 0 || c >= this.side || r >= this.side ? -1 : r * this.side + c;
  }
  thing(x: number, y: number): number {
    const at = this.at(x, y);
    return at < 0 ? -1 : this.owner[at]!;
  }
}

function within(ring: Xy[], x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
    const [a, b] = [ring[i]!, ring[j]!];
    if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  }
  return inside;
}

const normal = (z: number): number => 1 / (1 + Math.exp(-1.702 * z));

export class InventedPhysics {
  private readonly roofs: Roofs;
  private readonly crowns: { at: Xyz; radius: number; thing: number }[];
  constructor(readonly scene: Scene, half: number, readonly node: Xyz, readonly azimuths: number[]) {
    this.roofs = new Roofs(scene, half);
    this.crowns = scene.things.flatMap((t, thing) =>
      t.crown ? [{ at: t.crown.center, radius: t.crown.radius_m, thing }] : []);
  }

  at(x: number, y: number, height = 1.5): Spot | null {
    if (this.roofs.thing(x, y) >= 0) return null;
    const to: Xyz = [x, y, groundAt(x, y) + height];
    const [dx, dy, dz] = [to[0] - this.node[0], to[1] - this.node[1], to[2] - this.node[2]];
    const flat = Math.hypot(dx, dy);
    const d = Math.max(Math.hypot(flat, dz), 1);
    let [worst, thing, terrain] = [0, -1, 0];
    for (let s = 3; s < flat - 1; s += 2) {
      const [px, py, pz] = [this.node[0] + (dx * s) / flat, this.node[1] + (dy * s) / flat, this.node[2] + (dz * s) / flat];
      const over = this.roofs.thing(px, py);
      if (over >= 0) {
        const cut = this.scene.things[over]!.top_m - pz;
        if (cut > worst) [worst, thing] = [cut, over];
      }
      terrain = Math.max(terrain, groundAt(px, py) - pz + 0.15);
    }
    let [foliage, crown] = [0, -1];
    for (const c of this.crowns) {
      const along = ((c.at[0] - this.node[0]) * dx + (c.at[1] - this.node[1]) * dy) / flat;
      const off = Math.abs((c.at[0] - this.node[0]) * dy - (c.at[1] - this.node[1]) * dx) / flat;
      const up = Math.abs(this.node[2] + (dz * along) / flat - c.at[2]);
      if (along > 0 && along < flat && off < c.radius && up < 2.6) [foliage, crown] = [foliage + 6 + 3 * (c.radius - off), c.thing];
    }
    const bearing = (Math.atan2(dx, dy) * 180) / Math.PI;
    const off = this.azimuths.map((a) => Math.abs(((bearing - a + 540) % 360) - 180));
    const sector = off[0]! <= (off[1] ?? 999) ? 0 : 1;
    const pattern_db = -Math.min(25, 12 * ((off[sector] ?? 0) / 90) ** 2);
    const free_space_db = 61.4 + 20 * Math.log10(d);
    const blocked = Math.max(worst, terrain * 3);
    const diffraction_db = blocked > 0 ? Math.min(42, 9 + 9 * Math.sqrt(blocked)) : 0;
    const reflection_gain_db = blocked > 0 ? Math.min(8, 0.25 * diffraction_db) : 0.6;
    const gas_rain_db = 0.00012 * d;
    const path_loss_db = free_space_db + diffraction_db + foliage + gas_rain_db;
    const rsrp_dbm = 56 + pattern_db - path_loss_db + reflection_gain_db + perElementDb + 11;
    const p_hold = normal((rsrp_dbm + 102) / sigma);
    const cause = terrain > 0 && terrain * 3 >= worst ? 'terrain' : worst > 0 ? 'building' : foliage > 2 ? 'foliage' : d > 240 ? 'distance' : 'none';
    return {
      sight: blocked > 0 ? 3 : foliage > 0 ? 2 : 1,
      cause, thing: cause === 'building' ? thing : cause === 'foliage' ? crown : -1,
      sector, distance_m: d, free_space_db, diffraction_db, foliage_db: foliage, gas_rain_db, pattern_db,
      reflection_gain_db, path_loss_db, rsrp_dbm, snr_db: rsrp_dbm + 113, p_hold,
      downlink_mbps: Math.max(0, Math.min(1900, 70 * (rsrp_dbm + 108))), uplink_mbps: Math.max(0, Math.min(120, 4 * (rsrp_dbm + 108))),
    };
  }
}

export function stateOf(p: number): 0 | 1 | 2 {
  return p >= 0.9 ? 2 : p >= 0.5 ? 1 : 0;
}

export function inventedBands(physics: InventedPhysics, grid: GridSpec): { bands: Bands; hold: Float64Array } {
  const n = grid.columns * grid.rows;
  const u8 = (fill: number): Uint8Array => new Uint8Array(n).fill(fill);
  const i16 = (): Int16Array => new Int16Array(n).fill(-32768);
  const u16 = (): Uint16Array => new Uint16Array(n).fill(65535);
  const hold = new Float64Array(n).fill(-1);
  const b = {
    sight: u8(0), state: u8(255), best_sector: new Uint16Array(n), cause: u8(255),
    cause_thing: new Uint32Array(n).fill(4294967295), p_hold: u8(255),
    rsrp_dbm: i16(), snr_db: i16(), path_loss_db: i16(), downlink_mbps: u16(), uplink_mbps: u16(),
    free_space_db: i16(), diffraction_db: i16(), foliage_db: i16(), penetration_db: i16(), gas_rain_db: i16(),
    pattern_db: i16(), reflection_gain_db: i16(),
  };
  for (let at = 0; at < n; at++) {
    const spot = physics.at(grid.x0_m + (at % grid.columns) * grid.step_m, grid.y0_m + Math.floor(at / grid.columns) * grid.step_m);
    if (!spot) continue;
    b.sight[at] = spot.sight;
    b.state[at] = stateOf(spot.p_hold);
    b.best_sector[at] = spot.sector + 1;
    b.cause[at] = causes.indexOf(spot.cause);
    if (spot.thing >= 0) b.cause_thing[at] = spot.thing;
    b.p_hold[at] = Math.round(spot.p_hold * 200);
    hold[at] = spot.p_hold;
    b.downlink_mbps[at] = Math.round(spot.downlink_mbps);
    b.uplink_mbps[at] = Math.round(spot.uplink_mbps * 10);
    b.penetration_db[at] = 0;
    for (const name of ['rsrp_dbm', 'snr_db', 'path_loss_db', 'free_space_db', 'diffraction_db', 'foliage_db', 'gas_rain_db', 'pattern_db', 'reflection_gain_db'] as const)
      b[name][at] = Math.round(spot[name] * 50);
  }
  const bands = Object.fromEntries(Object.entries(b).map(([name, values]) => [name, packed(values)])) as unknown as Bands;
  return { bands, hold };
}

/** Cells inside houses take their neighbours' value, so that no edge follows a wall. */
function filled(grid: GridSpec, hold: Float64Array): Float64Array {
  const now = Float64Array.from(hold);
  for (let pass = 0; pass < 8; pass++) {
    const before = Float64Array.from(now);
    for (let i = 0; i < now.length; i++) {
      if (before[i]! >= 0) continue;
      const near = [i - 1, i + 1, i - grid.columns, i + grid.columns].map((k) => before[k] ?? -1).filter((v) => v >= 0);
      if (near.length) now[i] = near.reduce((a, b) => a + b, 0) / near.length;
    }
  }
  return now;
}

/** A contour ends where the grid does. */
function withoutBorder(ring: number[][], grid: GridSpec): number[][][] {
  const pieces: number[][][] = [[]];
  for (const p of ring) {
    if (p[0]! < 1 || p[1]! < 1 || p[0]! > grid.columns - 1 || p[1]! > grid.rows - 1) pieces.push([]);
    else pieces.at(-1)!.push(p);
  }
  return pieces.filter((piece) => piece.length > 1);
}

export function edgesOf(grid: GridSpec, answered: Float64Array): Prediction['edges'] {
  const hold = filled(grid, answered);
  const trace = contours().size([grid.columns, grid.rows]).smooth(true);
  return [0.9, 0.5, 0.1].map((p) => ({
    p_hold: p,
    lines: trace.contour(Array.from(hold), p).coordinates.flat()
      .filter((ring) => ring.length > 30)
      .flatMap((ring) => withoutBorder(ring, grid))
      .map((ring) => ring.map(([c, r]): Xy => [grid.x0_m + (c! - 0.5) * grid.step_m, grid.y0_m + (r! - 0.5) * grid.step_m])),
  }));
}

const sights = ['none', 'los', 'olos', 'nlos'];
const states = ['drop', 'marginal', 'hold'];

export function inventedRun(physics: InventedPhysics, name: string, v: number, half: number): StreetRun {
  const rows: StreetRun['rows'] = [];
  for (let u = -half + 12; u <= half - 12; u += 5) {
    const [x_m, y_m] = fromTown(u, v);
    const spot = physics.at(x_m, y_m);
    if (!spot) continue;
    rows.push({
      along_m: u, x_m, y_m, distance_3d_m: spot.distance_m, sight: sights[spot.sight]!, state: states[stateOf(spot.p_hold)]!,
      p_hold: spot.p_hold, rsrp_dbm: spot.rsrp_dbm, sigma_db: sigma, downlink_mbps: spot.downlink_mbps,
      downlink_low_mbps: Math.max(0, spot.downlink_mbps - 330), downlink_high_mbps: Math.min(1900, spot.downlink_mbps + 330),
    });
  }
  return { street: name, node: 'N1', rows };
}
