// The first Fresnel zone: all places from which the way over them is up to half a wavelength longer than the
// straight one (ITU-R P.526, section 2). In the plane of the section that is an ellipse with the two
// ends as its foci.
import type { Along } from './cut';

const speedOfLight = 299_792_458; // m/s, exact

export function wavelength_m(frequency_ghz: number): number {
  return speedOfLight / (frequency_ghz * 1e9);
}

/** Half its width at the middle of a path. */
export function widest_m(distance_m: number, frequency_ghz: number): number {
  const longer = distance_m + wavelength_m(frequency_ghz) / 2;
  return Math.sqrt(longer * longer - distance_m * distance_m) / 2;
}

export function fresnelRing(from: Along, to: Along, frequency_ghz: number, corners = 96): Along[] {
  const [dx, dz] = [to[0] - from[0], to[1] - from[1]];
  const d = Math.hypot(dx, dz);
  const [major, minor] = [(d + wavelength_m(frequency_ghz) / 2) / 2, widest_m(d, frequency_ghz)];
  return Array.from({ length: corners }, (_, i): Along => {
    const a = (2 * Math.PI * i) / corners;
    const [u, v] = [major * Math.cos(a), minor * Math.sin(a)];
    return [(from[0] + to[0]) / 2 + (u * dx - v * dz) / d, (from[1] + to[1]) / 2 + (u * dz + v * dx) / d];
  });
}
