// The ground as one mesh with the answers lying on it: a byte a cell in a texture, colours and hatches
// from a table, blended between the cells that have an answer.
import {
  BufferAttribute, BufferGeometry, Color, DataTexture, GLSL3, LinearFilter, Mesh, NearestFilter, RGBAFormat, RGFormat, ShaderMaterial,
  UnsignedByteType, Vector2,
} from 'three';
import type { GridSpec } from '../answers';
import type { Ground } from '../ground';
import { noCode } from './ground_paint';
import type { GroundPaint } from './ground_paint';
import { placedVertex } from './placed_vertex';

// Colours are written as sRGB, as the legend shows them; nothing is converted on the way.
const fragmentShader = /* glsl */ `
precision highp float;
uniform sampler2D codes;
uniform sampler2D colours;
uniform vec2 first;
uniform float step_m;
uniform ivec2 size;
uniform bool answered;
uniform vec3 paper;
uniform float hatch_m;
uniform float relief;
in vec3 place;
out vec4 shown;

float line(float across, float width) {
  float d = abs(fract(across) - 0.5);
  float soft = fwidth(across);
  return 1.0 - smoothstep(width - soft, width + soft, 0.5 - d);
}
float hatched(int kind, vec2 at) {
  vec2 p = at / hatch_m;
  if (kind == 1) return 0.55 * line((p.x + p.y) * 0.5, 0.05);
  if (kind == 2) return line(p.x + p.y, 0.09);
  if (kind == 3) return line(p.x - p.y, 0.09);
  if (kind == 4) return max(line(p.x + p.y, 0.08), line(p.x - p.y, 0.08));
  if (kind == 5) { vec2 q = fract(p * 1.2) - 0.5; return 1.0 - smoothstep(0.16, 0.24, length(q)); }
  if (kind == 6) return line(p.y * 1.3, 0.09);
  if (kind == 7) return line(p.x * 1.3, 0.09);
  return 0.0;
}
void main() {
  vec3 colour = paper;
  if (answered) {
    // The filter blends code and weight alike, so that cells without an answer do not dim their neighbours.
    vec2 at = ((place.xy - first) / step_m + 0.5) / vec2(size);
    vec2 code = texture(codes, at).rg;
    bool inside = all(greaterThanEqual(at, vec2(0.0))) && all(lessThan(at, vec2(1.0)));
    int at_code = inside && code.g >= 0.5 ? int(code.r / code.g * 255.0 + 0.5) : 255;
    if (at_code != 255) {
      vec4 look = texelFetch(colours, ivec2(at_code, 0), 0);
      colour = look.rgb;
      int kind = int(look.a * 255.0 + 0.5);
      // Finer than two pixels a hatch would only shimmer, so it fades with distance.
      float fine = fwidth(place.x / hatch_m) + fwidth(place.y / hatch_m);
      float ink = hatched(kind, place.xy) * (1.0 - smoothstep(0.25, 0.7, fine));
      colour = mix(colour, colour * 0.72, ink);
    }
  }
  vec3 n = normalize(cross(dFdx(place), dFdy(place)));
  if (n.z < 0.0) n = -n;
  colour *= 1.0 + relief * (dot(n, normalize(vec3(-0.5, 0.5, 1.2))) - 0.862);
  shown = vec4(colour, 1.0);
}`;

/** The raster's own cells, or every second, third... so that no more than `most` vertices are drawn. */
function groundGeometry(ground: Ground, bounds: [number, number, number, number], most: number): BufferGeometry {
  const geometry = new BufferGeometry();
  const [west, south, east, north] = bounds;
  const cells = ground.grid ? Math.max((east - west) / ground.grid.step_m, (north - south) / ground.grid.step_m) : 1;
  const stride = Math.max(1, Math.ceil(cells / Math.sqrt(most)));
  const step = ground.grid ? ground.grid.step_m * stride : Math.max(east - west, north - south);
  const [columns, rows] = [Math.max(1, Math.ceil((east - west) / step)), Math.max(1, Math.ceil((north - south) / step))];
  const positions = new Float32Array((columns + 1) * (rows + 1) * 3);
  let filled = 0;
  for (let r = 0; r <= rows; r++)
    for (let c = 0; c <= columns; c++) {
      const [x, y] = [Math.min(east, west + c * step), Math.min(north, south + r * step)];
      const z = ground.heightAt(x, y);
      positions.set([x, y, z], 3 * (r * (columns + 1) + c));
      if (Number.isFinite(z)) filled += 1;
    }
  const indices = new Uint32Array(columns * rows * 6);
  let n = 0;
  const known = (i: number): boolean => filled === 0 || Number.isFinite(positions[3 * i + 2]!);
  for (let r = 0; r < rows; r++)
    for (let c = 0; c < columns; c++) {
      const a = r * (columns + 1) + c;
      const [b, d, e] = [a + 1, a + columns + 1, a + columns + 2];
      if (!(known(a) && known(b) && known(d) && known(e))) continue;
      indices.set([a, b, e, a, e, d], n);
      n += 6;
    }
  for (let i = 2; i < positions.length; i += 3) if (!Number.isFinite(positions[i]!)) positions[i] = 0;
  geometry.setAttribute('position', new BufferAttribute(positions, 3));
  geometry.setIndex(new BufferAttribute(indices.subarray(0, n), 1));
  return geometry;
}

export class GroundLayer {
  readonly mesh: Mesh;
  private readonly material: ShaderMaterial;

  constructor(ground: Ground, bounds: [number, number, number, number], most = 30_000) {
    this.material = new ShaderMaterial({
      glslVersion: GLSL3, vertexShader: placedVertex, fragmentShader,
      uniforms: {
        codes: { value: null }, colours: { value: null }, first: { value: new Vector2() }, step_m: { value: 1 },
        size: { value: [0, 0] }, answered: { value: false },
        paper: { value: new Color() }, hatch_m: { value: 4 }, relief: { value: 0.35 },
      },
    });
    this.mesh = new Mesh(groundGeometry(ground, bounds, most), this.material);
    this.mesh.frustumCulled = false;
  }

  show(paint: GroundPaint, grid: GridSpec): void {
    const u = this.material.uniforms;
    const weighted = new Uint8Array(2 * paint.codes.length);
    for (let i = 0; i < paint.codes.length; i++) {
      const code = paint.codes[i]!;
      if (code !== noCode) {
        weighted[2 * i] = code;
        weighted[2 * i + 1] = 255;
      }
    }
    const codes = new DataTexture(weighted, grid.columns, grid.rows, RGFormat, UnsignedByteType);
    const colours = new DataTexture(new Uint8Array(paint.colours), 256, 1, RGBAFormat, UnsignedByteType);
    for (const texture of [codes, colours]) {
      texture.minFilter = texture.magFilter = NearestFilter;
      texture.unpackAlignment = 1;
      texture.needsUpdate = true;
    }
    if (paint.smooth) codes.minFilter = codes.magFilter = LinearFilter;
    for (const name of ['codes', 'colours']) u[name]!.value?.dispose();
    u['codes']!.value = codes;
    u['colours']!.value = colours;
    u['first']!.value = new Vector2(grid.x0_m, grid.y0_m);
    u['step_m']!.value = grid.step_m;
    u['size']!.value = [grid.columns, grid.rows];
    u['answered']!.value = true;
  }

  paper(colour: string): void {
    const c = new Color(colour).convertLinearToSRGB(); // the shader writes sRGB
    this.material.uniforms['paper']!.value = c;
  }

  /** Distance between hatch lines, from the metres a pixel covers; in steps, so that it does not swim. */
  scale(metresPerPixel: number): void {
    this.material.uniforms['hatch_m']!.value = 2 ** Math.round(Math.log2(metresPerPixel * 8));
  }

  dispose(): void {
    for (const name of ['codes', 'colours']) this.material.uniforms[name]!.value?.dispose();
    this.mesh.geometry.dispose();
    this.material.dispose();
  }
}
