// The document, decoded: numbers as arrays, each band when it is first wanted.
import type { Answers, Bands, GridSpec, Prediction, Scene, Thing, Xyz } from './answers';
import { Ground } from './ground';
import { unpacked } from './packed';
import type { Values } from './packed';

export type BandName = keyof Bands;

export interface Solid {
  kind: Thing['kind'];
  vertices: Float32Array;
  indices: Uint32Array;
  /** Things of this kind by first triangle, for picking. */
  things: number[];
}

/** A decoded scene. */
export interface Street3d {
  scene: Scene;
  ground: Ground;
  solids: Solid[];
}

export async function decodedScene(scene: Scene): Promise<Street3d> {
  const heights = scene.ground ? ((await unpacked(scene.ground.heights)) as Float32Array) : null;
  const solids = await Promise.all(
    scene.meshes.map(async (mesh): Promise<Solid> => {
      const [vertices, indices] = await Promise.all([unpacked(mesh.vertices), unpacked(mesh.indices)]);
      const things = scene.things
        .map((thing, index) => ({ thing, index }))
        .filter(({ thing }) => thing.kind === mesh.kind && thing.triangles > 0)
        .sort((a, b) => a.thing.first_triangle - b.thing.first_triangle)
        .map(({ index }) => index);
      return { kind: mesh.kind, vertices: vertices as Float32Array, indices: indices as Uint32Array, things };
    }),
  );
  return { scene, ground: new Ground(scene.ground?.grid ?? null, heights), solids };
}

/** The thing that owns a triangle of a solid; -1 = none. */
export function thingOfTriangle(scene: Scene, solid: Solid, triangle: number): number {
  let [low, high] = [0, solid.things.length - 1];
  while (low <= high) {
    const middle = (low + high) >> 1;
    const index = solid.things[middle]!;
    const thing = scene.things[index]!;
    if (triangle < thing.first_triangle) high = middle - 1;
    else if (triangle >= thing.first_triangle + thing.triangles) low = middle + 1;
    else return index;
  }
  return -1;
}

/** The middle of a thing's own corners; null where it has none. */
export function middleOf(street: Street3d, index: number): Xyz | null {
  const thing = street.scene.things[index];
  const solid = street.solids.find((s) => s.kind === thing?.kind);
  if (!thing || !solid || thing.triangles === 0) return null;
  const sum: Xyz = [0, 0, 0];
  for (let i = 3 * thing.first_triangle; i < 3 * (thing.first_triangle + thing.triangles); i++)
    for (const k of [0, 1, 2] as const) sum[k] += solid.vertices[3 * solid.indices[i]! + k]!;
  return sum.map((v) => v / (3 * thing.triangles)) as Xyz;
}

/** What the ground of a prediction says, from the document or from the live stream. */
export class GroundAnswer {
  private readonly decoded = new Map<BandName, Promise<Values>>();
  constructor(
    readonly grid: GridSpec,
    readonly sectorNames: string[],
    readonly causes: string[],
    readonly edges: Prediction['edges'],
    private readonly source: Bands | Partial<Record<BandName, Values>>,
  ) {}

  static of(prediction: Prediction): GroundAnswer {
    return new GroundAnswer(prediction.grid, prediction.sector_names, prediction.causes, prediction.edges, prediction.bands);
  }

  band(name: BandName): Promise<Values> {
    let values = this.decoded.get(name);
    if (!values) {
      const source = this.source[name];
      if (!source) return Promise.reject(new Error(`the map has no band ${name}`));
      values = ArrayBuffer.isView(source) ? Promise.resolve(source) : unpacked(source);
      this.decoded.set(name, values);
    }
    return values;
  }

  /** Index of the cell about a place; -1 outside. */
  cellAt(x: number, y: number): number {
    const { x0_m, y0_m, step_m, columns, rows } = this.grid;
    const [c, r] = [Math.round((x - x0_m) / step_m), Math.round((y - y0_m) / step_m)];
    return c < 0 || r < 0 || c >= columns || r >= rows ? -1 : r * columns + c;
  }

  centreOf(cell: number): [number, number] {
    const { x0_m, y0_m, step_m, columns } = this.grid;
    return [x0_m + (cell % columns) * step_m, y0_m + Math.floor(cell / columns) * step_m];
  }
}

/** A band's code as a number in its unit; NaN where it has none. */
export function bandValue(name: BandName, code: number): number {
  switch (name) {
    case 'p_hold':
      return code === 255 ? NaN : code / 200;
    case 'downlink_mbps':
      return code === 65535 ? NaN : code;
    case 'uplink_mbps':
      return code === 65535 ? NaN : code / 10;
    case 'sight':
    case 'state':
    case 'cause':
      return code === 255 ? NaN : code;
    case 'best_sector':
      return code === 65535 ? NaN : code;
    case 'cause_thing':
      return code === 4294967295 ? NaN : code;
    default:
      return code === -32768 ? NaN : code / 50;
  }
}

/** Everything the page works with; the live view replaces its parts. */
export class Site {
  ground: GroundAnswer | null;
  constructor(
    public answers: Answers,
    public street: Street3d,
  ) {
    this.ground = answers.prediction ? GroundAnswer.of(answers.prediction) : null;
  }

  get scene(): Scene {
    return this.street.scene;
  }

  static async of(answers: Answers): Promise<Site> {
    return new Site(answers, await decodedScene(answers.scene));
  }
}
