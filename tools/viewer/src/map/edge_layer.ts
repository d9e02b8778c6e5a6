// Edges of the hold in the street view: thousands of short pieces, so plain lines of a pixel (wide ones
// took a second a picture where the processor draws). On the map the pen draws them wider.
import { BufferAttribute, BufferGeometry, Color, Group, LineDashedMaterial, LineSegments } from 'three';
import type { Xyz } from '../answers';

export class EdgeLayer {
  readonly group = new Group();
  private readonly materials: LineDashedMaterial[] = [];

  add(lines: Xyz[][], colour: string, dash_px: [number, number] | undefined): void {
    const places: number[] = [];
    const along: number[] = [];
    for (const line of lines) {
      let sum = 0;
      for (let i = 0; i + 1 < line.length; i++) {
        const [a, b] = [line[i]!, line[i + 1]!];
        places.push(...a, ...b);
        along.push(sum, (sum += Math.hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2])));
      }
    }
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(new Float32Array(places), 3));
    geometry.setAttribute('lineDistance', new BufferAttribute(new Float32Array(along), 1));
    const material = new LineDashedMaterial({ color: new Color(colour), dashSize: dash_px?.[0] ?? 1, gapSize: dash_px?.[1] ?? 0 });
    const segments = new LineSegments(geometry, material);
    segments.renderOrder = 3;
    this.materials.push(material);
    this.group.add(segments);
  }

  scale(metresPerPixel: number): void {
    for (const material of this.materials) material.scale = 1 / metresPerPixel;
  }

  dispose(): void {
    for (const child of this.group.children) (child as LineSegments).geometry.dispose();
    for (const material of this.materials) material.dispose();
  }
}
