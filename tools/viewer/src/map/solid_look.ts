// The look of walls, roofs and leaves: one light from the sky, one from the side, by the slope of each face. A
// small shader of our own, since where the processor draws the time to the first picture is the time
// to compile shaders.
import { Color, DoubleSide, GLSL3, ShaderMaterial } from 'three';
import { placedVertex } from './placed_vertex';

const fragmentShader = /* glsl */ `
precision highp float;
uniform vec3 colour;
uniform float opacity;
in vec3 place;
out vec4 shown;
void main() {
  vec3 n = normalize(cross(dFdx(place), dFdy(place)));
  if (dot(n, cameraPosition - place) < 0.0) n = -n;
  float light = 0.67 + 0.2 * n.z + 0.16 * dot(n, vec3(-0.457, 0.381, 0.804));
  shown = vec4(colour * light, opacity);
}`;

export class SolidLook extends ShaderMaterial {
  constructor(leafy: boolean) {
    super({
      glslVersion: GLSL3, vertexShader: placedVertex, fragmentShader, side: DoubleSide, transparent: leafy, polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
      uniforms: { colour: { value: new Color() }, opacity: { value: 1 } },
    });
  }

  paint(colour: string): void {
    this.uniforms['colour']!.value = new Color(colour).convertLinearToSRGB(); // written as sRGB
  }

  thin(opacity: number): void {
    this.uniforms['opacity']!.value = opacity;
  }
}
