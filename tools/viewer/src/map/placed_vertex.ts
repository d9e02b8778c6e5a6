// A corner of a triangle where it stands in the scene: what the shaders of ground and solids begin from.
export const placedVertex = /* glsl */ `
out vec3 place;
void main() {
  place = (modelMatrix * vec4(position, 1.0)).xyz;
  gl_Position = projectionMatrix * viewMatrix * vec4(place, 1.0);
}`;
