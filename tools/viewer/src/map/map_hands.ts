// Hands on the map: clicks and taps choose, keys move, buttons over the points let Tab and screen
// readers reach them.
import type { Xy } from '../answers';
import { element } from '../page/element';
import type { Shown } from '../shown';
import type { Site } from '../site';
import { length, signed } from '../units';
import { causeWord } from '../words';
import type { StreetMap } from './street_map';

const fingertip_px = 22;
const mostButtons = 150;

/** The point whose sign is under a pixel; -1 = none. */
export function pointAt(map: StreetMap, site: Site, [px, py]: Xy): number {
  let [best, near] = [-1, fingertip_px];
  site.answers.points.forEach((point, i) => {
    const at = point.place && map.view.toScreen(point.place);
    const off = at ? Math.hypot(at[0] - px, at[1] - py) : Infinity;
    if (off < near) [best, near] = [i, off];
  });
  return best;
}

export function pixelOf(map: StreetMap, event: { clientX: number; clientY: number }): Xy {
  const box = map.stage.getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
}

/** `thing` hears of what was clicked. */
export function handsOnMap(map: StreetMap, site: Site, shown: Shown, thing: (index: number) => void): void {
  let pressed: { at: Xy; when: number } | null = null;
  let turning: Xy | null = null;
  map.stage.addEventListener('pointerdown', (event) => {
    const at = pixelOf(map, event);
    pressed = event.isPrimary && event.button === 0 ? { at, when: event.timeStamp } : null;
    if (map.view.mode === 'eye') {
      turning = at;
      map.stage.setPointerCapture(event.pointerId);
    }
  });
  map.stage.addEventListener('pointermove', (event) => {
    if (!turning) return;
    const at = pixelOf(map, event);
    map.view.turnHead((turning[0] - at[0]) / 8, (at[1] - turning[1]) / 8);
    turning = at;
    map.draw();
  });
  map.stage.addEventListener('pointerup', (event) => {
    turning = null;
    const at = pixelOf(map, event);
    if (!pressed || Math.hypot(at[0] - pressed.at[0], at[1] - pressed.at[1]) > 5 || event.timeStamp - pressed.when > 700) return;
    pressed = null;
    if (map.view.mode === 'eye') return;
    choose(at);
  });

  function choose(at: Xy): void {
    const point = pointAt(map, site, at);
    if (point >= 0) return shown.set('place', { kind: 'point', index: point });
    thing(map.thingAt(at));
    const ground = map.view.toGround(at, site.street.ground);
    if (ground) shown.set('place', { kind: 'spot', x: ground[0], y: ground[1] });
  }

  map.stage.addEventListener('keydown', (event) => {
    if (event.target !== map.stage || event.altKey || event.ctrlKey || event.metaKey) return;
    const step = event.shiftKey ? 200 : 60;
    const moves: Record<string, Xy> = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] };
    const move = moves[event.key];
    if (move) map.view.pan(...move);
    else if (event.key === '+' || event.key === '=') map.view.zoom(1.4);
    else if (event.key === '-') map.view.zoom(1 / 1.4);
    else if (event.key === 'Enter') choose([map.view.width / 2, map.view.height / 2]);
    else return;
    event.preventDefault();
    map.draw();
  });
}

/** Buttons that lie on the points' signs, unseen until they have the focus. */
export function pointButtons(map: StreetMap, site: Site, shown: Shown): () => void {
  const frame = element('div', { class: 'point-buttons' });
  map.stage.append(frame);
  let made: { button: HTMLButtonElement; index: number }[] = [];
  const place = (): void => {
    for (const { button, index } of made) {
      const where = site.answers.points[index]?.place;
      const at = where && map.view.mode !== 'eye' ? map.view.toScreen(where) : null;
      const inside = at && at[0] > 0 && at[1] > 0 && at[0] < map.view.width && at[1] < map.view.height;
      button.hidden = !inside;
      if (inside) button.style.transform = `translate(${at[0].toFixed(1)}px, ${at[1].toFixed(1)}px)`;
    }
  };
  return function refill(): void {
    const points = site.answers.points;
    made = points.length > mostButtons ? [] : points.flatMap((point, index) => {
      if (!point.place) return [];
      const far = point.distance_m == null ? '' : `, ${length(point.distance_m, shown.get('units'))} from the node`;
      const level = point.measured.rsrp_dbm == null ? '' : `, ${signed(point.measured.rsrp_dbm, 0)} dBm`;
      const button = element('button', {
        type: 'button', class: 'point-button', 'aria-label': `Point ${point.id}${far}${level}: ${causeWord(point.cause)}`,
        onclick: () => shown.set('place', { kind: 'point', index }),
      });
      return [{ button, index }];
    });
    frame.replaceChildren(...made.map((m) => m.button));
    const before = map.drawn;
    if (!map.stage.dataset['buttons']) {
      map.stage.dataset['buttons'] = 'yes';
      map.drawn = () => {
        before();
        place();
      };
    }
    map.draw();
  };
}
