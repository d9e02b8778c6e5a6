// Lines on the map: edges of the hold, stretches, paths; and lamp posts, which from above are too thin to see.
import type { Scene, Xy } from '../answers';
import type { Looks } from './looks';
import type { Symbols } from './symbols';
import type { View } from './view';

/** From above, scene to pixel is one scale and one shift. */
export function planOf(view: View): (p: Xy) => Xy {
  const mpp = view.metresPerPixel();
  const [cx, cy] = view.centre();
  return ([x, y]) => [view.width / 2 + (x - cx) / mpp, view.height / 2 - (y - cy) / mpp];
}

export function drawEdges(pen: CanvasRenderingContext2D, view: View, what: Symbols, looks: Looks): void {
  const at = planOf(view);
  const width = view.metresPerPixel() > 0.9 ? 1.1 : 1.7; // seen whole, many edges lie close together
  for (const { lines, dash } of what.edges) {
    const path = new Path2D();
    for (const line of lines) drawLine(path, line, at, view);
    pen.lineJoin = 'round';
    pen.strokeStyle = looks.halo;
    pen.globalAlpha = 0.55;
    pen.lineWidth = width + 1.9;
    pen.stroke(path);
    pen.globalAlpha = 1;
    pen.strokeStyle = looks.ink;
    pen.lineWidth = width;
    pen.setLineDash(dash);
    pen.stroke(path);
    pen.setLineDash([]);
  }
  drawPoles(pen, view, what.poles, at, looks);
}

/** Edges of roofs: ten thousand short lines, which where the processor draws cost less by pen. */
export function drawRoofs(pen: CanvasRenderingContext2D, view: View, scene: Scene, looks: Looks): void {
  const at = planOf(view);
  const path = new Path2D();
  for (const { rings } of scene.outlines)
    for (const ring of rings) {
      const first = at(ring[0] ?? [NaN, NaN]);
      if (!(first[0] > -200 && first[1] > -200 && first[0] < view.width + 200 && first[1] < view.height + 200)) continue;
      ring.forEach((p, i) => (i === 0 ? path.moveTo(...first) : path.lineTo(...at(p))));
      path.closePath();
    }
  pen.strokeStyle = looks.edge;
  pen.lineWidth = view.metresPerPixel() > 0.9 ? 0.6 : 1;
  pen.stroke(path);
}

/** Drop stretches, the chosen path and its mirrored ways, as lines of the scene look. */
export function drawLines(pen: CanvasRenderingContext2D, view: View, what: Symbols): void {
  const at = planOf(view);
  for (const { lines, look } of what.lines.values()) {
    const path = new Path2D();
    for (const line of lines) line.forEach((p, i) => (i === 0 ? path.moveTo(...at([p[0], p[1]])) : path.lineTo(...at([p[0], p[1]]))));
    if (look.halo) {
      pen.globalAlpha = 0.7;
      pen.strokeStyle = look.halo;
      pen.lineWidth = look.width_px + 2.5;
      pen.stroke(path);
      pen.globalAlpha = 1;
    }
    pen.strokeStyle = look.colour;
    pen.lineWidth = look.width_px;
    pen.setLineDash(look.dash_px ?? []);
    pen.stroke(path);
    pen.setLineDash([]);
  }
}

/** Pieces shorter than a pixel and a half are left out, and lines that are off the picture. */
function drawLine(path: Path2D, line: Xy[], at: (p: Xy) => Xy, view: View): void {
  let before: Xy | null = null;
  const shown: Xy[] = [];
  let seen = false;
  line.forEach((p, i) => {
    const q = at(p);
    if (before && i + 1 < line.length && Math.abs(q[0] - before[0]) + Math.abs(q[1] - before[1]) < 1.5) return;
    if (q[0] > -20 && q[1] > -20 && q[0] < view.width + 20 && q[1] < view.height + 20) seen = true;
    shown.push(q);
    before = q;
  });
  if (!seen) return;
  shown.forEach((q, i) => (i === 0 ? path.moveTo(...q) : path.lineTo(...q)));
}

function drawPoles(pen: CanvasRenderingContext2D, view: View, poles: Xy[], at: (p: Xy) => Xy, looks: Looks): void {
  if (view.metresPerPixel() > 0.55) return;
  for (const place of poles) {
    const [x, y] = at(place);
    if (x < 0 || y < 0 || x > view.width || y > view.height) continue;
    pen.beginPath();
    pen.arc(x, y, 3, 0, 2 * Math.PI);
    pen.fillStyle = looks.halo;
    pen.fill();
    pen.strokeStyle = looks.ink;
    pen.lineWidth = 1.6;
    pen.stroke();
  }
}
