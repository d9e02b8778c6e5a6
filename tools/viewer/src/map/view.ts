// Where the picture is taken from: straight above (the map), at an angle (the street) or from where
// somebody stands (the eye). One scene, three cameras.
import { MOUSE, OrthographicCamera, PerspectiveCamera, TOUCH, Vector3 } from 'three';
import type { Camera } from 'three';
import { MapControls } from 'three/addons/controls/MapControls.js';
import type { Xy, Xyz } from '../answers';
import type { Ground } from '../ground';

export type Mode = 'map' | 'street' | 'eye';

const above_m = 4000; // of the map's camera over the ground: higher than any hill of a site
const fieldOfView = 42;
const eyeFieldOfView = 65;

export class View {
  mode: Mode = 'map';
  width = 1;
  height = 1;
  private readonly flat = new OrthographicCamera(-1, 1, 1, -1, 1, 9000);
  private readonly deep = new PerspectiveCamera(fieldOfView, 1, 2, 30_000);
  private readonly eye = new PerspectiveCamera(eyeFieldOfView, 1, 0.1, 3000);
  private readonly flatControls: MapControls;
  private readonly deepControls: MapControls;
  private head = { yaw: 0, pitch: 0 }; // degrees; clockwise from north, up
  private readonly scratch = new Vector3();

  constructor(stage: HTMLElement, changed: () => void) {
    for (const camera of [this.flat, this.deep, this.eye]) camera.up.set(0, 0, 1);
    this.flatControls = new MapControls(this.flat, stage);
    this.flatControls.enableRotate = false;
    this.flatControls.mouseButtons = { LEFT: MOUSE.PAN, MIDDLE: MOUSE.DOLLY, RIGHT: MOUSE.PAN };
    this.flatControls.touches = { ONE: TOUCH.PAN, TWO: TOUCH.DOLLY_PAN };
    this.flatControls.minZoom = 0.05;
    this.flatControls.maxZoom = 60;
    this.deepControls = new MapControls(this.deep, stage);
    this.deepControls.maxPolarAngle = 1.5;
    this.deepControls.minDistance = 8;
    this.deepControls.maxDistance = 12_000;
    for (const controls of [this.flatControls, this.deepControls]) {
      controls.enableDamping = false;
      controls.zoomToCursor = true;
      controls.addEventListener('change', changed);
    }
    this.enable(true);
  }

  get camera(): Camera {
    return this.mode === 'map' ? this.flat : this.mode === 'street' ? this.deep : this.eye;
  }

  private get controls(): MapControls {
    return this.mode === 'street' ? this.deepControls : this.flatControls;
  }

  enable(on: boolean): void {
    this.flatControls.enabled = on && this.mode === 'map';
    this.deepControls.enabled = on && this.mode === 'street';
  }

  switchTo(mode: Mode): void {
    const [x, y] = this.centre();
    this.mode = mode;
    this.enable(true);
    if (mode !== 'eye') this.lookAt(x, y);
  }

  resize(width: number, height: number): void {
    const wide = this.flat.right - this.flat.left > 2 ? (this.flat.top - this.flat.bottom) / this.height : 1;
    [this.width, this.height] = [Math.max(1, width), Math.max(1, height)];
    Object.assign(this.flat, {
      left: (-wide * this.width) / 2, right: (wide * this.width) / 2, top: (wide * this.height) / 2, bottom: (-wide * this.height) / 2,
    });
    this.flat.updateProjectionMatrix();
    for (const camera of [this.deep, this.eye]) {
      camera.aspect = this.width / this.height;
      camera.updateProjectionMatrix();
    }
  }

  /** Shows an area: west, south, east, north. */
  frame([west, south, east, north]: [number, number, number, number], ground: Ground): void {
    const [x, y] = [(west + east) / 2, (south + north) / 2];
    const mpp = Math.max((east - west) / this.width, (north - south) / this.height);
    Object.assign(this.flat, {
      left: (-mpp * this.width) / 2, right: (mpp * this.width) / 2, top: (mpp * this.height) / 2, bottom: (-mpp * this.height) / 2, zoom: 1,
    });
    this.flat.updateProjectionMatrix();
    const z = ground.near(x, y);
    this.flat.position.set(x, y, z + above_m);
    this.flatControls.target.set(x, y, z);
    this.flatControls.update();
    const away = 0.44 * Math.max((north - south) * 0.9, (east - west) * (this.height / this.width)) / Math.tan((fieldOfView * Math.PI) / 360);
    const nearer = y - 0.08 * (north - south); // near things are larger and need more room below
    this.deep.position.set(x - away * 0.25, nearer - away * 0.72, z + away * 0.7);
    this.deepControls.target.set(x, nearer, z);
    this.deepControls.update();
  }

  centre(): Xy {
    const { x, y } = this.controls.target;
    return [x, y];
  }

  /** Moves without turning or zooming. */
  lookAt(x: number, y: number): void {
    if (this.mode === 'eye') return;
    const controls = this.controls;
    const shift = new Vector3(x - controls.target.x, y - controls.target.y, 0);
    controls.target.add(shift);
    controls.object.position.add(shift);
    controls.update();
  }

  pan(right_px: number, up_px: number): void {
    if (this.mode === 'eye') return this.turnHead(right_px / 8, up_px / 12);
    const mpp = this.metresPerPixel();
    const bearing = this.bearing();
    const [c, s] = [Math.cos(bearing), Math.sin(bearing)];
    const [x, y] = this.centre();
    this.lookAt(x + mpp * (right_px * c + up_px * s), y + mpp * (up_px * c - right_px * s));
  }

  zoom(factor: number): void {
    if (this.mode === 'map') {
      this.flat.zoom = Math.min(60, Math.max(0.05, this.flat.zoom * factor));
      this.flat.updateProjectionMatrix();
      this.flatControls.update();
    } else if (this.mode === 'street') {
      this.deep.position.sub(this.deepControls.target).divideScalar(factor).add(this.deepControls.target);
      this.deepControls.update();
    }
  }

  /** Direction that is up on the picture, radians clockwise from north. */
  bearing(): number {
    if (this.mode === 'map') return 0;
    this.camera.getWorldDirection(this.scratch);
    return Math.atan2(this.scratch.x, this.scratch.y);
  }

  metresPerPixel(): number {
    if (this.mode === 'map') return (this.flat.right - this.flat.left) / this.flat.zoom / this.width;
    if (this.mode === 'eye') return 0.06;
    return (2 * this.deep.position.distanceTo(this.deepControls.target) * Math.tan((fieldOfView * Math.PI) / 360)) / this.height;
  }

  /** Puts the eye at a place and turns it to another. */
  stand(from: Xyz, to: Xyz): void {
    this.eye.position.set(...from);
    const [dx, dy, dz] = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
    this.head = { yaw: (Math.atan2(dx, dy) * 180) / Math.PI, pitch: (Math.atan2(dz, Math.hypot(dx, dy)) * 180) / Math.PI };
    this.turnHead(0, 0);
  }

  turnHead(right_deg: number, up_deg: number): void {
    this.head.yaw += right_deg;
    this.head.pitch = Math.min(80, Math.max(-60, this.head.pitch + up_deg));
    const [yaw, pitch] = [(this.head.yaw * Math.PI) / 180, (this.head.pitch * Math.PI) / 180];
    const p = this.eye.position;
    this.eye.lookAt(p.x + Math.sin(yaw) * Math.cos(pitch), p.y + Math.cos(yaw) * Math.cos(pitch), p.z + Math.sin(pitch));
    this.eye.updateMatrixWorld();
  }

  /** Pixels from the top left; null behind the camera. */
  toScreen([x, y, z]: Xyz): Xy | null {
    const v = this.scratch.set(x, y, z).project(this.camera);
    if (v.z > 1 || v.z < -1) return null;
    return [((v.x + 1) / 2) * this.width, ((1 - v.y) / 2) * this.height];
  }

  /** From a pixel as the device coordinates that a ray caster takes. */
  toDevice([x, y]: Xy): Xy {
    return [(2 * x) / this.width - 1, 1 - (2 * y) / this.height];
  }

  /** The ground under a pixel. */
  toGround(pixel: Xy, ground: Ground): Xy | null {
    const [dx, dy] = this.toDevice(pixel);
    const from = new Vector3(dx, dy, -1).unproject(this.camera);
    const to = new Vector3(dx, dy, 1).unproject(this.camera);
    const ray = to.sub(from);
    if (this.mode === 'map') return [from.x, from.y];
    // The first place where the ray is below the ground, found by steps and then by halving.
    const reach = ray.length();
    ray.normalize();
    const below = (t: number): boolean => from.z + ray.z * t < ground.near(from.x + ray.x * t, from.y + ray.y * t, -Infinity);
    let before = 0;
    for (let t = 0; t < reach; t += 1 + t * 0.005) {
      if (below(t)) {
        let [low, high] = [before, t];
        for (let i = 0; i < 20; i++) {
          const middle = (low + high) / 2;
          if (below(middle)) high = middle;
          else low = middle;
        }
        return [from.x + ray.x * high, from.y + ray.y * high];
      }
      before = t;
    }
    return null;
  }

  dispose(): void {
    this.flatControls.dispose();
    this.deepControls.dispose();
  }
}
