// The map and the street: one scene of the ground with its answers, the solids and the lines, drawn only when
// something has changed, with the symbols drawn over it.
import { Raycaster, Scene as World, Vector2, WebGLRenderer } from 'three';
import type { Xy, Xyz } from '../answers';
import type { Units } from '../units';
import type { GroundAnswer, Street3d } from '../site';
import { middleOf, thingOfTriangle } from '../site';
import { EdgeLayer } from './edge_layer';
import { GroundLayer } from './ground_layer';
import type { GroundPaint } from './ground_paint';
import { LineLayer } from './line_layer';
import type { LineLook } from './line_layer';
import { looksOf } from './looks';
import type { Looks } from './looks';
import { SolidsLayer } from './solids_layer';
import { SymbolPainter } from './symbols';
import type { Symbols } from './symbols';
import { View } from './view';
import { element } from '../page/element';

/** Smooth edges where they cost little: not on a dense screen, nor where the processor draws. */
function contextOf(canvas: HTMLCanvasElement): WebGL2RenderingContext {
  const fast = canvas.getContext('webgl2', { antialias: window.devicePixelRatio < 2, failIfMajorPerformanceCaveat: true, powerPreference: 'high-performance' });
  const context = fast ?? canvas.getContext('webgl2', { antialias: false });
  if (!context) throw new Error('this browser gives no WebGL 2');
  return context;
}

function polesOf(street: Street3d): Xy[] {
  return street.scene.things.flatMap((thing, i): Xy[] => {
    const at = thing.kind === 'pole' ? middleOf(street, i) : null;
    return at ? [[at[0], at[1]]] : [];
  });
}

type LineKey = 'drops' | 'measured' | 'path' | 'reflected';

export class StreetMap {
  readonly view: View;
  private readonly renderer: WebGLRenderer;
  private readonly world = new World();
  private readonly overlay = element('canvas', { class: 'map-symbols', 'aria-hidden': 'true' });
  private readonly painter: SymbolPainter;
  private readonly pen: CanvasRenderingContext2D;
  private readonly lines = new Map<string, LineLayer>();
  private edges = new EdgeLayer();
  private groundLayer: GroundLayer;
  private solids: SolidsLayer;
  private looks: Looks = looksOf('light');
  private waiting = false;
  private open = false; // until all is in place nothing is drawn
  private paint: { paint: GroundPaint; answer: GroundAnswer } | null = null;
  readonly symbols: Symbols;
  units: Units = 'metric';
  /** After each drawing: what sits over the map must move along. */
  drawn: () => void = () => undefined;

  /** Throws where the browser gives no WebGL 2. */
  constructor(readonly stage: HTMLElement, private street: Street3d) {
    const canvas = element('canvas', { class: 'map-scene', 'aria-hidden': 'true' });
    this.renderer = new WebGLRenderer({ canvas, context: contextOf(canvas) });
    this.renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
    stage.append(canvas, this.overlay);
    const pen = this.overlay.getContext('2d');
    if (!pen) throw new Error('this browser draws no 2D canvas');
    this.pen = pen;
    this.view = new View(stage, () => this.draw());
    this.painter = new SymbolPainter(pen, this.view);
    this.groundLayer = new GroundLayer(street.ground, street.scene.bounds);
    this.solids = new SolidsLayer(street);
    this.world.add(this.groundLayer.mesh, this.solids.group);
    this.symbols = {
      scene: street.scene, ground: street.ground, poles: polesOf(street), points: [], suspects: [], lines: new Map(), edges: [], edgeLabels: [], dropLabels: [],
      chosen: null, chosenPoint: -1, thing: null, editing: false,
    };
    new ResizeObserver(() => this.resize()).observe(stage);
    this.resize();
  }

  private resize(): void {
    const { clientWidth: w, clientHeight: h } = this.stage;
    if (w === 0 || h === 0 || (w === this.view.width && h === this.view.height)) return;
    this.renderer.setSize(w, h, false);
    const ratio = Math.min(2, window.devicePixelRatio);
    [this.overlay.width, this.overlay.height] = [w * ratio, h * ratio];
    this.pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    this.view.resize(w, h);
    this.drawNow(); // at once: a resized canvas is empty until then
  }

  theme(theme: 'light' | 'dark' | 'sunlight'): void {
    this.looks = looksOf(theme);
    this.groundLayer.paper(this.looks.paper);
    this.renderer.setClearColor(this.looks.paper);
    this.solids.paint(this.looks);
    this.draw();
  }

  get ink(): Looks {
    return this.looks;
  }

  /** Another scene, after something was put into it or taken away. */
  showStreet(street: Street3d): void {
    this.world.remove(this.groundLayer.mesh, this.solids.group);
    this.groundLayer.dispose();
    this.solids.dispose();
    this.street = street;
    this.groundLayer = new GroundLayer(street.ground, street.scene.bounds);
    this.solids = new SolidsLayer(street);
    this.world.add(this.groundLayer.mesh, this.solids.group);
    Object.assign(this.symbols, { scene: street.scene, ground: street.ground, poles: polesOf(street) });
    this.groundLayer.paper(this.looks.paper);
    this.solids.paint(this.looks);
    if (this.paint) this.groundLayer.show(this.paint.paint, this.paint.answer.grid);
    this.draw();
  }

  showGround(paint: GroundPaint, answer: GroundAnswer): void {
    this.paint = { paint, answer };
    this.groundLayer.show(paint, answer.grid);
    this.draw();
  }

  /** Lines in the scene; from above the pen draws them, so they become solid things only for the street. */
  line(key: LineKey, lines: Xyz[][], look: LineLook): void {
    const old = this.lines.get(key);
    if (old) {
      this.world.remove(old.group);
      old.dispose();
      this.lines.delete(key);
    }
    this.symbols.lines.set(key, { lines, look });
    this.draw();
  }

  private raiseLines(): void {
    for (const [key, { lines, look }] of this.symbols.lines) {
      if (this.lines.has(key)) continue;
      const layer = new LineLayer(lines, look);
      this.lines.set(key, layer);
      this.world.add(layer.group);
    }
  }

  /** Edges of the hold, for the street view; the map's are among the symbols. */
  edgeLines(edges: EdgeLayer): void {
    this.world.remove(this.edges.group);
    this.edges.dispose();
    this.edges = edges;
    this.world.add(edges.group);
    this.draw();
  }

  draw(): void {
    if (this.waiting || !this.open) return;
    this.waiting = true;
    requestAnimationFrame(() => {
      this.waiting = false;
      this.drawNow();
    });
  }

  /** From now on changes are drawn. */
  begin(): void {
    this.open = true;
    this.drawNow();
  }

  private drawNow(): void {
    if (!this.open) return;
    const mpp = this.view.metresPerPixel();
    this.groundLayer.scale(mpp);
    this.solids.seenFromAbove(this.view.mode === 'map');
    const size = new Vector2(this.view.width, this.view.height);
    const above = this.view.mode === 'map';
    if (!above) this.raiseLines();
    for (const [key, layer] of this.lines) {
      // A path seen from its own end is only a stroke down the picture.
      layer.group.visible = this.view.mode === 'street' || (this.view.mode === 'eye' && (key === 'drops' || key === 'measured'));
      layer.scale(size, mpp);
    }
    this.edges.group.visible = !above;
    this.edges.scale(mpp);
    this.renderer.render(this.world, this.view.camera);
    this.painter.paint(this.symbols, this.looks, this.units);
    this.stage.dataset['frames'] = String(Number(this.stage.dataset['frames'] ?? 0) + 1);
    this.drawn();
  }

  /** The thing under a pixel, as index in the scene's things; -1 = none. */
  thingAt(pixel: Xy): number {
    const caster = new Raycaster();
    caster.setFromCamera(new Vector2(...this.view.toDevice(pixel)), this.view.camera);
    const hit = caster.intersectObjects(this.solids.meshes.map((m) => m.mesh), false)[0];
    const solid = this.solids.meshes.find((m) => m.mesh === hit?.object)?.solid;
    if (!hit || !solid || hit.faceIndex === undefined || hit.faceIndex === null) return -1;
    const ground = this.view.mode === 'map' ? null : this.view.toGround(pixel, this.street.ground);
    if (ground) {
      const { x, y, z } = this.view.camera.position;
      if (Math.hypot(ground[0] - x, ground[1] - y, this.street.ground.near(...ground) - z) < hit.distance - 0.3) return -1;
    }
    return thingOfTriangle(this.street.scene, solid, hit.faceIndex);
  }

  /** The middle of a thing. */
  placeOf(index: number): Xyz | null {
    return middleOf(this.street, index);
  }
}
