// Quillmere for the page's tests: an invented town of any size, the same for the same seed. Nothing of
// it is measured or real. It stands in for what the program writes, so that the page can be tested
// without it.
import { deflateSync } from 'node:zlib';
import type { Mesh, Packed, Scene, Street, Thing, Xy, Xyz } from '../../tools/viewer/src/answers';

export function seeded(seed: number): () => number {
  let state = seed >>> 0; // mulberry32, public domain
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

type Numbers = Uint8Array | Int16Array | Uint16Array | Uint32Array | Float32Array;

export function packed(values: Numbers): Packed {
  const type =
    values instanceof Uint8Array ? 'u8'
    : values instanceof Int16Array ? 'i16'
    : values instanceof Uint16Array ? 'u16'
    : values instanceof Uint32Array ? 'u32'
    : 'f32';
  const bytes = new Uint8Array(values.buffer, values.byteOffset, values.byteLength);
  return { type, count: values.length, data: deflateSync(bytes).toString('base64') };
}

/** Collects triangles of one kind. */
class Solids {
  vertices: number[] = [];
  indices: number[] = [];
  constructor(readonly kind: Thing['kind']) {}
  triangleCount(): number {
    return this.indices.length / 3;
  }
  /** An upright prism of a convex counter-clockwise ring. */
  prism(ring: Xy[], low: number, high: number): void {
    const at = this.vertices.length / 3;
    const n = ring.length;
    for (const z of [low, high]) for (const [x, y] of ring) this.vertices.push(x, y, z);
    for (let i = 0; i < n; i++) {
      const j = (i + 1) % n;
      this.indices.push(at + i, at + j, at + n + j, at + i, at + n + j, at + n + i);
    }
    for (let i = 1; i + 1 < n; i++) this.indices.push(at + n, at + n + i, at + n + i + 1);
  }
  ellipsoid(center: Xyz, radius: number, halfHeight: number): void {
    const [across, up] = [10, 6];
    const at = this.vertices.length / 3;
    for (let j = 0; j <= up; j++)
      for (let i = 0; i < across; i++) {
        const [a, b] = [(2 * Math.PI * i) / across, Math.PI * (j / up - 0.5)];
        this.vertices.push(
          center[0] + radius * Math.cos(a) * Math.cos(b),
          center[1] + radius * Math.sin(a) * Math.cos(b),
          center[2] + halfHeight * Math.sin(b),
        );
      }
    for (let j = 0; j < up; j++)
      for (let i = 0; i < across; i++) {
        const [k, l] = [(i + 1) % across, at + j * across];
        this.indices.push(l + i, l + k, l + across + k, l + i, l + across + k, l + across + i);
      }
  }
  mesh(): Mesh {
    return {
      kind: this.kind,
      vertices: packed(new Float32Array(this.vertices)),
      indices: packed(new Uint32Array(this.indices)),
    };
  }
}

function rectangle(x: number, y: number, along: number, across: number, turn: number): Xy[] {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const corner = (u: number, v: number): Xy => [x + u * c - v * s, y + u * s + v * c];
  const [a, b] = [along / 2, across / 2];
  return [corner(-a, -b), corner(a, -b), corner(a, b), corner(-a, b)];
}

function circle(x: number, y: number, radius: number): Xy[] {
  return Array.from({ length: 12 }, (_, i): Xy => {
    const a = (2 * Math.PI * i) / 12;
    return [x + radius * Math.cos(a), y + radius * Math.sin(a)];
  });
}

/** The ground of Quillmere: a slope to the north and a crest across Tarn Street. */
export function groundAt(x: number, y: number): number {
  return 0.012 * y + 7 * Math.exp(-(((x - 205) / 38) ** 2)) + 1.2 * Math.sin(x / 90) * Math.cos(y / 110);
}

export interface TownSize {
  seed: number;
  buildings: number;
  half_m: number; // of the square that is drawn
}

const turn = 0.13; // of the town's streets against east
const pitch: Xy = [84, 62];

/** From the town's own axes, along and across Tarn Street, to the scene's. */
export function fromTown(u: number, v: number): Xy {
  return [u * Math.cos(turn) - v * Math.sin(turn), u * Math.sin(turn) + v * Math.cos(turn)];
}

const streetNames = ['Tarn Street', 'Alder Row', 'Quill Lane', 'Mere Road', 'Fuller Street', 'Heron Way'];

function streets(half: number): Street[] {
  const found: Street[] = [];
  const rows = Math.floor(half / pitch[1]);
  for (let row = -rows; row <= rows; row++) {
    const line: Xyz[] = [];
    for (let u = -half; u <= half; u += 20) {
      const [x, y] = fromTown(u, row * pitch[1]);
      line.push([x, y, groundAt(x, y)]);
    }
    const name = row === 0 ? streetNames[0] : row === 1 ? streetNames[1] : row === -1 ? streetNames[2] : '';
    found.push({ name: name ?? '', line });
  }
  const columns = Math.floor(half / pitch[0]);
  for (let column = -columns; column <= columns; column++) {
    const line: Xyz[] = [];
    for (let v = -half; v <= half; v += 20) {
      const [x, y] = fromTown(column * pitch[0] + 42, v);
      line.push([x, y, groundAt(x, y)]);
    }
    const name = column === 0 ? streetNames[3] : column === 1 ? streetNames[4] : column === -1 ? streetNames[5] : '';
    found.push({ name: name ?? '', line });
  }
  return found;
}

export function inventedScene(size: TownSize): Scene {
  const random = seeded(size.seed);
  const things: Thing[] = [];
  const solids = {
    building: new Solids('building'),
    pole: new Solids('pole'),
    trunk: new Solids('trunk'),
    crown: new Solids('crown'),
    vehicle: new Solids('vehicle'),
  };
  const outlines: Scene['outlines'] = [];
  const add = (
    kind: keyof typeof solids, what: string, source: string, base: number, top: number, draw: () => void,
    extra: Partial<Thing> = {},
  ): number => {
    const first = solids[kind].triangleCount();
    draw();
    things.push({
      id: source.replace(/^.*:(\d+)$/, `${what} $1`), kind, what, source, base_m: base, top_m: top,
      first_triangle: first, triangles: solids[kind].triangleCount() - first, ...extra,
    });
    return things.length - 1;
  };

  // Houses fill the blocks, nearest to the middle first.
  const plots: { u: number; v: number; w: number; d: number }[] = [];
  const blocks = Math.ceil(size.half_m / pitch[1]) + 1;
  for (let bu = -blocks; bu <= blocks; bu++)
    for (let bv = -blocks; bv <= blocks; bv++)
      for (const side of [-1, 1])
        for (let k = 0; k < 5; k++) {
          const w = 11 + random() * 2.5;
          plots.push({
            u: bu * pitch[0] - 28 + k * 14, v: (bv + 0.5) * pitch[1] + side * (14.5 + random() * 2),
            w, d: 11 + random() * 3,
          });
        }
  const inside = plots.filter((p) => Math.max(...fromTown(p.u, p.v).map(Math.abs)) < size.half_m - 8);
  inside.sort((a, b) => Math.hypot(a.u, a.v) - Math.hypot(b.u, b.v));
  for (const [i, p] of inside.slice(0, size.buildings).entries()) {
    const [x, y] = fromTown(p.u, p.v);
    const ring = rectangle(x, y, p.w, p.d, turn);
    const base = Math.min(...ring.map(([a, b]) => groundAt(a, b)));
    const top = base + 6 + Math.floor(random() * 3) * 3;
    const thing = add('building', 'house', `buildings.geojson:buildings:${i + 1}`, base, top,
      () => solids.building.prism(ring, base, top), { height_source: random() < 0.6 ? 'tagged' : 'levels' });
    outlines.push({ thing, rings: [[...ring, ring[0]!]] });
  }
  const extent = Math.min(size.half_m - 20, 260);
  let lamp = 0;
  for (let u = -extent; u <= extent; u += 32)
    for (const v of [-6.2, 6.2]) {
      const [x, y] = fromTown(u + v, v);
      const z = groundAt(x, y);
      lamp += 1;
      add('pole', 'lamp post', `poles.geojson:poles:${lamp}`, z, z + 8, () => solids.pole.prism(circle(x, y, 0.12), z, z + 8));
    }
  for (let i = 0; i < 24; i++) {
    const [x, y] = fromTown(-extent + random() * 2 * extent, random() < 0.5 ? -5.4 : 5.4);
    const z = groundAt(x, y);
    const [radius, top] = [1.6 + random() * 1.4, 7 + random() * 3];
    const center: Xyz = [x, y, z + top - 2.6];
    add('trunk', 'tree trunk', `trees.geojson:trees:${i + 1}`, z, z + top - 3, () => solids.trunk.prism(circle(x, y, 0.15), z, z + top - 3));
    add('crown', 'tree', `trees.geojson:trees:${i + 1}`, z + top - 5.2, z + top,
      () => solids.crown.ellipsoid(center, radius, 2.6), { crown: { center, radius_m: radius, half_height_m: 2.6 } });
  }
  for (let i = 0; i < 8; i++) {
    const [x, y] = fromTown(-180 + i * 47, i % 2 ? 3.4 : -3.4);
    const z = groundAt(x, y);
    const lorry = i % 4 === 0;
    add('vehicle', lorry ? 'lorry' : 'car', `parked.geojson:parked:${i + 1}`, z, z + (lorry ? 3.8 : 1.5),
      () => solids.vehicle.prism(rectangle(x, y, lorry ? 8 : 4.4, lorry ? 2.5 : 1.8, turn), z, z + (lorry ? 3.8 : 1.5)));
  }

  const step = Math.max(5, size.half_m / 100);
  const n = Math.floor((2 * size.half_m) / step) + 1;
  const heights = new Float32Array(n * n);
  for (let row = 0; row < n; row++)
    for (let column = 0; column < n; column++)
      heights[row * n + column] = groundAt(-size.half_m + column * step, -size.half_m + row * step);

  const [nx, ny] = fromTown(0, 6.6);
  const nodeZ = groundAt(nx, ny) + 8;
  const degrees = (Math.PI / 2 - turn) * (180 / Math.PI);
  return {
    crs: 'EPSG:32631', origin_map: [500000, 5500000],
    lonlat: [3, 0.0000139, 0, 49.65, 0, 0.000009],
    bounds: [-size.half_m, -size.half_m, size.half_m, size.half_m],
    ground: { grid: { x0_m: -size.half_m, y0_m: -size.half_m, step_m: step, columns: n, rows: n }, heights: packed(heights) },
    elevation_offset_m: 31,
    things,
    meshes: Object.values(solids).map((s) => s.mesh()),
    outlines,
    nodes: [{
      id: 'N1', position: [nx, ny, nodeZ], height_agl_m: 8,
      sectors: [
        { id: 'east', azimuth_deg: degrees, downtilt_deg: 4, frequency_ghz: 28, eirp_dbm: 56, beamwidth_deg: 65, pattern: '3gpp-array' },
        { id: 'west', azimuth_deg: degrees + 180, downtilt_deg: 4, frequency_ghz: 28, eirp_dbm: 56, beamwidth_deg: 65, pattern: '3gpp-array' },
      ],
    }],
    streets: streets(size.half_m),
  };
}
