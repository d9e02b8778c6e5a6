// What is drawn over the scene with a pen: names, nodes with their fans, points, suspects, scale and
// north. It keeps its size on the screen and is never hidden by a roof.
import type { Point, Scene, Suspect, Xy, Xyz } from '../answers';
import type { Ground } from '../ground';
import { roundLength, length } from '../units';
import type { Units } from '../units';
import { Free } from './free';
import { drawEdges, drawLines, drawRoofs } from './line_pen';
import type { LineLook } from './line_layer';
import { markOf } from './point_marks';
import type { Looks } from './looks';
import type { View } from './view';

export interface Symbols {
  scene: Scene;
  ground: Ground;
  poles: Xy[];
  points: Point[];
  suspects: Suspect[];
  lines: Map<string, { lines: Xyz[][]; look: LineLook }>;
  edges: { lines: Xy[][]; dash: number[] }[]; // of the hold
  edgeLabels: { words: string; at: Xy }[];
  dropLabels: { words: string; at: Xyz }[];
  chosen: Xyz | null;
  chosenPoint: number; // -1 = none
  thing: { at: Xyz; words: string } | null; // what costs most there
  editing: boolean; // nodes and sectors have handles
}

const font = (px: number, weight = 500): string => `${weight} ${px}px system-ui, "Liberation Sans", sans-serif`;
export const fan_px = 46;

export class SymbolPainter {
  constructor(
    private readonly pen: CanvasRenderingContext2D,
    private readonly view: View,
  ) {}

  paint(what: Symbols, looks: Looks, units: Units): void {
    const { pen, view } = this;
    pen.clearRect(0, 0, view.width, view.height);
    const free = new Free();
    pen.textAlign = 'center';
    pen.textBaseline = 'middle';
    if (view.mode === 'map') {
      drawRoofs(pen, view, what.scene, looks);
      drawEdges(pen, view, what, looks);
      drawLines(pen, view, what);
    }
    for (const node of what.scene.nodes) this.node(node, what, looks, free);
    if (view.mode !== 'eye') what.points.forEach((point, i) => this.point(point, i === what.chosenPoint, looks));
    what.suspects.forEach((suspect) => this.suspect(suspect, looks, free));
    if (what.thing) this.thing(what.thing, looks, free);
    if (what.chosen && view.mode !== 'eye') this.chosen(what.chosen, looks);
    for (const { words, at } of what.dropLabels) this.words(words, view.toScreen(at), 13, looks, free, 700, looks.drop);
    for (const { words, at } of view.mode === 'eye' ? [] : what.edgeLabels) this.words(words, view.toScreen([at[0], at[1], what.ground.near(...at)]), 12, looks, free, 600);
    if (view.mode !== 'eye') this.streetNames(what, looks, free);
    this.north(looks);
    if (view.mode === 'map') this.scale(looks, units);
  }

  private words(
    words: string, at: Xy | null, px: number, looks: Looks, free: Free, weight = 500, colour = looks.ink, turn = 0,
  ): void {
    if (!at || at[0] < -20 || at[1] < -20 || at[0] > this.view.width + 20 || at[1] > this.view.height + 20) return;
    const { pen } = this;
    pen.font = font(px, weight);
    const wide = pen.measureText(words).width + 8;
    const [w, h] = [Math.abs(wide * Math.cos(turn)) + Math.abs(px * 1.5 * Math.sin(turn)), Math.abs(wide * Math.sin(turn)) + Math.abs(px * 1.5 * Math.cos(turn))];
    const x = turn === 0 && at[0] > 0 && at[0] < this.view.width ? Math.min(this.view.width - w / 2, Math.max(w / 2, at[0])) : at[0];
    if (!free.take(x, at[1], w, h)) return;
    pen.save();
    pen.translate(x, at[1]);
    pen.rotate(turn);
    pen.lineJoin = 'round';
    pen.strokeStyle = looks.halo;
    pen.lineWidth = 3.5;
    pen.strokeText(words, 0, 0);
    pen.fillStyle = colour;
    pen.fillText(words, 0, 0);
    pen.restore();
  }

  private outlined(path: Path2D, fill: string, line: string, width: number, looks: Looks): void {
    const { pen } = this;
    pen.lineJoin = 'round';
    pen.strokeStyle = looks.halo;
    pen.lineWidth = width + 3;
    pen.stroke(path);
    pen.fillStyle = fill;
    pen.fill(path);
    pen.strokeStyle = line;
    pen.lineWidth = width;
    pen.stroke(path);
  }

  private node(node: Scene['nodes'][number], what: Symbols, looks: Looks, free: Free): void {
    const { pen, view } = this;
    const at = view.toScreen(node.position);
    if (!at) return;
    const reach = fan_px * view.metresPerPixel();
    for (const sector of view.mode === 'eye' ? [] : node.sectors) {
      const rim: Xy[] = [];
      for (let i = -8; i <= 8; i++) {
        const a = ((sector.azimuth_deg + (sector.beamwidth_deg / 2) * (i / 8)) * Math.PI) / 180;
        const p = view.toScreen([node.position[0] + reach * Math.sin(a), node.position[1] + reach * Math.cos(a), node.position[2]]);
        if (p) rim.push(p);
      }
      const fan = new Path2D();
      fan.moveTo(...at);
      rim.forEach((p) => fan.lineTo(...p));
      fan.closePath();
      pen.globalAlpha = 0.3;
      pen.fillStyle = looks.node;
      pen.fill(fan);
      pen.globalAlpha = 1;
      pen.strokeStyle = looks.halo;
      pen.lineWidth = 3.5;
      pen.stroke(fan);
      pen.strokeStyle = looks.node;
      pen.lineWidth = 1.5;
      pen.stroke(fan);
      const tip = rim[8];
      if (what.editing && tip) {
        const handle = new Path2D();
        handle.arc(tip[0], tip[1], 7, 0, 2 * Math.PI);
        this.outlined(handle, looks.halo, looks.node, 2, looks);
      }
    }
    if (view.mode === 'street') {
      const foot = view.toScreen([node.position[0], node.position[1], node.position[2] - node.height_agl_m]);
      if (foot) {
        const mast = new Path2D();
        mast.moveTo(...at);
        mast.lineTo(...foot);
        pen.strokeStyle = looks.halo;
        pen.lineWidth = 5;
        pen.stroke(mast);
        pen.strokeStyle = looks.node;
        pen.lineWidth = 2.5;
        pen.stroke(mast);
      }
    }
    const body = new Path2D();
    const r = what.editing ? 9 : 7;
    body.moveTo(at[0], at[1] - r);
    body.lineTo(at[0] + r, at[1]);
    body.lineTo(at[0], at[1] + r);
    body.lineTo(at[0] - r, at[1]);
    body.closePath();
    this.outlined(body, looks.node, looks.halo, 1.5, looks);
    free.take(at[0], at[1], 22, 22);
    this.words(node.id, [at[0], at[1] - 22], 13, looks, free, 700);
  }

  private point(point: Point, chosen: boolean, looks: Looks): void {
    if (!point.place) return;
    const at = this.view.toScreen(point.place);
    if (!at) return;
    const { pen } = this;
    const mark = markOf(point);
    const size = chosen ? 9 : 6.5;
    const path = new Path2D();
    path.addPath(new Path2D(mark.path), new DOMMatrix([size, 0, 0, size, at[0], at[1]]));
    this.outlined(path, mark.lost ? looks.halo : mark.fill, mark.lost ? mark.fill : looks.ink, mark.lost ? 2.2 : 1.2, looks);
    if (mark.lost) {
      pen.beginPath();
      pen.moveTo(at[0] - size * 0.6, at[1] + size * 0.6);
      pen.lineTo(at[0] + size * 0.6, at[1] - size * 0.6);
      pen.stroke();
    } else if (mark.letter) {
      pen.font = font(size * 1.7, 700);
      pen.fillStyle = '#ffffff';
      pen.fillText(mark.letter, at[0], at[1] + 0.5);
    }
  }

  private suspect(suspect: Suspect, looks: Looks, free: Free): void {
    const at = this.view.toScreen(suspect.place);
    if (!at || !suspect.enough_evidence) return;
    const { pen } = this;
    const r = Math.max(11, suspect.width_m / 2 / this.view.metresPerPixel());
    for (const [colour, width] of [[looks.halo, 5], [looks.ink, 2]] as const) {
      pen.strokeStyle = colour;
      pen.lineWidth = width;
      pen.setLineDash(width === 2 ? [4, 3] : []);
      pen.beginPath();
      pen.arc(at[0], at[1], r, 0, 2 * Math.PI);
      pen.stroke();
    }
    pen.setLineDash([]);
    this.words('missing here?', [at[0], at[1] + r + 11], 12, looks, free, 600);
  }

  private thing(thing: { at: Xyz; words: string }, looks: Looks, free: Free): void {
    const at = this.view.toScreen(thing.at);
    if (!at) return;
    const mark = new Path2D();
    mark.rect(at[0] - 4, at[1] - 4, 8, 8);
    this.outlined(mark, looks.drop, looks.halo, 1.5, looks);
    this.words(thing.words, [at[0], at[1] - 15], 12, looks, free, 700, looks.drop);
  }

  private chosen(place: Xyz, looks: Looks): void {
    const at = this.view.toScreen(place);
    if (!at) return;
    const { pen } = this;
    for (const [colour, width] of [[looks.halo, 5], [looks.accent, 2.5]] as const) {
      pen.strokeStyle = colour;
      pen.lineWidth = width;
      pen.beginPath();
      pen.arc(at[0], at[1], 14, 0, 2 * Math.PI);
      pen.stroke();
    }
  }

  private streetNames(what: Symbols, looks: Looks, free: Free): void {
    const { view } = this;
    for (const street of what.scene.streets) {
      if (!street.name) continue;
      const on = street.line.map((p) => view.toScreen(p));
      let best: { i: number; far: number } | null = null;
      for (let i = 0; i + 1 < on.length; i++) {
        const [a, b] = [on[i], on[i + 1]];
        if (!a || !b) continue;
        const [mx, my] = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
        if (mx < 50 || my < 30 || mx > view.width - 50 || my > view.height - 40) continue;
        const far = Math.hypot(mx - view.width * 0.36, my - view.height * 0.45);
        if (!best || far < best.far) best = { i, far };
      }
      if (!best) continue;
      const [a, b] = [on[best.i]!, on[best.i + 1]!];
      let turn = Math.atan2(b[1] - a[1], b[0] - a[0]);
      if (turn > Math.PI / 2) turn -= Math.PI;
      if (turn < -Math.PI / 2) turn += Math.PI;
      this.words(street.name, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2], 12.5, looks, free, 500, looks.ink, turn);
    }
  }

  private north(looks: Looks): void {
    const { pen, view } = this;
    pen.save();
    pen.translate(view.width - 28, 34);
    pen.rotate(-view.bearing());
    const arrow = new Path2D('M0 -17L6 6L0 2L-6 6Z');
    this.outlined(arrow, looks.ink, looks.ink, 1, looks);
    pen.font = font(12, 700);
    pen.lineWidth = 3.5;
    pen.strokeStyle = looks.halo;
    pen.strokeText('N', 0, 16);
    pen.fillStyle = looks.ink;
    pen.fillText('N', 0, 16);
    pen.restore();
  }

  /** Two bars, metres above and feet below, the reader's own unit first. */
  private scale(looks: Looks, units: Units): void {
    const { pen, view } = this;
    const mpp = view.metresPerPixel();
    const [left, y] = [16, view.height - 30];
    const bars = [
      { m: roundLength(110 * mpp), unit: 'metric' as const },
      { m: roundLength((110 * mpp) / 0.3048) * 0.3048, unit: 'imperial' as const },
    ];
    if (units === 'imperial') bars.reverse();
    bars.forEach(({ m, unit }, i) => {
      const w = m / mpp;
      const path = new Path2D();
      const dy = y + (i === 0 ? 0 : 1);
      const tick = i === 0 ? -6 : 6;
      path.moveTo(left, dy + tick);
      path.lineTo(left, dy);
      path.lineTo(left + w, dy);
      path.lineTo(left + w, dy + tick);
      pen.strokeStyle = looks.halo;
      pen.lineWidth = 5;
      pen.stroke(path);
      pen.strokeStyle = looks.ink;
      pen.lineWidth = 1.8;
      pen.stroke(path);
      pen.textAlign = 'left';
      pen.font = font(12, 600);
      const words = length(m, unit);
      pen.lineWidth = 3.5;
      pen.strokeStyle = looks.halo;
      pen.strokeText(words, left + 5, dy + tick * 1.7);
      pen.fillStyle = looks.ink;
      pen.fillText(words, left + 5, dy + tick * 1.7);
    });
    pen.textAlign = 'center';
  }
}
