// The height of the ground anywhere: bilinear between the cell centres, as the rays see it but for
// the split of each square into two triangles.
import type { GridSpec } from './answers';

export class Ground {
  constructor(
    readonly grid: GridSpec | null,
    readonly heights: Float32Array | null,
  ) {}

  /** Scene z in metres; NaN outside the raster. Flat ground lies at 0 everywhere. */
  heightAt(x: number, y: number): number {
    if (!this.grid || !this.heights) return 0;
    const { x0_m, y0_m, step_m, columns, rows } = this.grid;
    const [c, r] = [(x - x0_m) / step_m, (y - y0_m) / step_m];
    const [column, row] = [Math.min(Math.floor(c), columns - 2), Math.min(Math.floor(r), rows - 2)];
    if (!(column >= 0 && row >= 0 && c <= columns - 1 && r <= rows - 1)) return NaN;
    const [u, v] = [c - column, r - row];
    const h = (i: number, j: number): number => this.heights![(row + j) * columns + column + i]!;
    return h(0, 0) * (1 - u) * (1 - v) + h(1, 0) * u * (1 - v) + h(0, 1) * (1 - u) * v + h(1, 1) * u * v;
  }

  /** The height, or `otherwise` where there is none: for drawing. */
  near(x: number, y: number, otherwise = 0): number {
    const z = this.heightAt(x, y);
    return Number.isFinite(z) ? z : otherwise;
  }
}
