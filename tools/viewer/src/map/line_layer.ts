// Lines that stand in the street view with a width in pixels: drop stretches, the chosen path.
import { Color, Group, Vector2 } from 'three';
import { LineMaterial } from 'three/addons/lines/LineMaterial.js';
import { LineSegments2 } from 'three/addons/lines/LineSegments2.js';
import { LineSegmentsGeometry } from 'three/addons/lines/LineSegmentsGeometry.js';
import type { Xyz } from '../answers';

export interface LineLook {
  colour: string;
  width_px: number;
  dash_px?: [number, number]; // drawn, left out
  halo?: string;
  through?: boolean; // seen through what stands before it
}

/** Many lines of one look, each with an optional pale halo below it. */
export class LineLayer {
  readonly group = new Group();
  private readonly materials: LineMaterial[] = [];

  constructor(lines: Xyz[][], look: LineLook) {
    const positions: number[] = [];
    for (const line of lines)
      for (let i = 0; i + 1 < line.length; i++) positions.push(...line[i]!, ...line[i + 1]!);
    if (positions.length === 0) return;
    const geometry = new LineSegmentsGeometry();
    geometry.setPositions(positions);
    const add = (colour: string, width: number, dash: [number, number] | undefined, order: number, opacity: number): void => {
      const material = new LineMaterial({
        color: new Color(colour), linewidth: width, dashed: Boolean(dash), dashSize: dash?.[0] ?? 1, gapSize: dash?.[1] ?? 0,
        depthTest: !look.through, transparent: true, opacity, depthWrite: false,
      });
      const segments = new LineSegments2(geometry, material);
      if (dash) runningDistances(geometry, lines);
      segments.renderOrder = order;
      segments.frustumCulled = false;
      this.materials.push(material);
      this.group.add(segments);
    };
    if (look.halo) add(look.halo, look.width_px + 2.5, undefined, 4, 0.55);
    add(look.colour, look.width_px, look.dash_px, 5, 1);
  }

  /** The drawing's size in pixels, and how many metres one covers: dashes keep their length on the screen. */
  scale(size: Vector2, metresPerPixel: number): void {
    for (const material of this.materials) {
      material.resolution = size;
      material.dashScale = 1 / 2 ** (Math.round(2 * Math.log2(metresPerPixel)) / 2);
    }
  }

  dispose(): void {
    for (const child of this.group.children) (child as LineSegments2).geometry.dispose();
    for (const material of this.materials) material.dispose();
  }
}

/** Dashes run on along each line, not anew on each short piece of it. */
function runningDistances(geometry: LineSegmentsGeometry, lines: Xyz[][]): void {
  const helper = new LineSegments2(geometry);
  helper.computeLineDistances();
  const start = geometry.attributes['instanceDistanceStart'];
  const end = geometry.attributes['instanceDistanceEnd'];
  if (!start || !end) return;
  let n = 0;
  for (const line of lines) {
    let sum = 0;
    for (let i = 0; i + 1 < line.length; i++, n++) {
      const piece = Math.hypot(line[i + 1]![0] - line[i]![0], line[i + 1]![1] - line[i]![1], line[i + 1]![2] - line[i]![2]);
      start.setX(n, sum);
      sum += piece;
      end.setX(n, sum);
    }
  }
}
