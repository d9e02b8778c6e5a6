// Taking hold of a node or a sector on the map: drag the node along the ground, turn a sector by the
// ring at the middle of its fan; or from the keyboard, with the node's own button.
import type { Xy } from '../answers';
import { pixelOf } from '../map/map_hands';
import type { StreetMap } from '../map/street_map';
import { fan_px } from '../map/symbols';
import { element } from '../page/element';
import type { Site } from '../site';

const grip_px = 20;

export interface Grip {
  node: number;
  sector: number | null; // null = the node itself
}

export interface Hands {
  move: (node: number, to: Xy, going: boolean) => void;
  raise: (node: number, by_m: number) => void;
  turn: (node: number, sector: number, azimuth_deg: number, going: boolean) => void;
}

/** Where the ring of a sector lies on the screen. */
function ringOf(map: StreetMap, site: Site, node: number, sector: number): Xy | null {
  const { position, sectors } = site.scene.nodes[node]!;
  const a = (sectors[sector]!.azimuth_deg * Math.PI) / 180;
  const reach = fan_px * map.view.metresPerPixel();
  return map.view.toScreen([position[0] + reach * Math.sin(a), position[1] + reach * Math.cos(a), position[2]]);
}

export function gripAt(map: StreetMap, site: Site, at: Xy): Grip | null {
  const off = (p: Xy | null): number => (p ? Math.hypot(p[0] - at[0], p[1] - at[1]) : Infinity);
  let best: { grip: Grip; off: number } | null = null;
  site.scene.nodes.forEach((node, n) => {
    const grips: [Grip, number][] = [[{ node: n, sector: null }, off(map.view.toScreen(node.position))]];
    node.sectors.forEach((_, s) => grips.push([{ node: n, sector: s }, off(ringOf(map, site, n, s))]));
    for (const [grip, far] of grips) if (far < grip_px && (!best || far < best.off)) best = { grip, off: far };
  });
  return (best as { grip: Grip } | null)?.grip ?? null;
}

export function handles(map: StreetMap, site: Site, hands: Hands): void {
  let held: Grip | null = null;
  const follow = (at: Xy, going: boolean): void => {
    const ground = map.view.toGround(at, site.street.ground);
    if (!held || !ground) return;
    if (held.sector === null) return hands.move(held.node, ground, going);
    const { position } = site.scene.nodes[held.node]!;
    const azimuth = (Math.atan2(ground[0] - position[0], ground[1] - position[1]) * 180) / Math.PI;
    hands.turn(held.node, held.sector, (azimuth + 360) % 360, going);
  };
  map.stage.addEventListener('pointerdown', (event) => {
    held = map.view.mode === 'eye' || event.button !== 0 ? null : gripAt(map, site, pixelOf(map, event));
    if (!held) return;
    event.stopPropagation(); // the map stays where it is
    map.stage.setPointerCapture(event.pointerId);
    map.stage.classList.add('held');
  }, { capture: true });
  map.stage.addEventListener('pointermove', (event) => {
    if (held) follow(pixelOf(map, event), true);
    else map.stage.classList.toggle('grip', event.pointerType === 'mouse' && map.view.mode !== 'eye' && gripAt(map, site, pixelOf(map, event)) !== null);
  });
  const release = (event: PointerEvent): void => {
    if (!held) return;
    if (event.type === 'pointerup') follow(pixelOf(map, event), true);
    held = null;
    map.stage.classList.remove('held');
    hands.move(-1, [0, 0], false); // the hand rests: what comes next is a change of its own
  };
  map.stage.addEventListener('pointerup', release);
  map.stage.addEventListener('pointercancel', release);
}

/** A button on each node: arrows move it, page keys raise it, brackets turn its sectors. */
export function nodeButtons(map: StreetMap, site: Site, hands: Hands): void {
  const frame = element('div', { class: 'point-buttons' });
  map.stage.append(frame);
  const buttons = site.scene.nodes.map((node, n) => {
    const key = (event: Event): void => {
      const { key: name, shiftKey } = event as KeyboardEvent;
      const step = shiftKey ? 10 : 1;
      const ways: Record<string, Xy> = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, step], ArrowDown: [0, -step] };
      const now = site.scene.nodes[n]!;
      const way = ways[name];
      if (way) hands.move(n, [now.position[0] + way[0], now.position[1] + way[1]], true);
      else if (name === 'PageUp' || name === 'PageDown') hands.raise(n, name === 'PageUp' ? 0.5 : -0.5);
      else if (name === '[' || name === ']') now.sectors.forEach((s, i) => hands.turn(n, i, (s.azimuth_deg + (name === ']' ? 5 : -5) + 360) % 360, false));
      else return;
      event.preventDefault();
      event.stopPropagation();
    };
    return element('button', {
      type: 'button', class: 'point-button', onkeydown: key,
      'aria-label': `Node ${node.id}: arrows move it by a metre, with shift by ten; page up and down raise and lower it; brackets turn its sectors`,
    });
  });
  frame.append(...buttons);
  const before = map.drawn;
  map.drawn = () => {
    before();
    buttons.forEach((button, n) => {
      const node = site.scene.nodes[n];
      const at = node && map.view.mode !== 'eye' ? map.view.toScreen(node.position) : null;
      button.hidden = !at;
      if (at) button.style.transform = `translate(${at[0].toFixed(1)}px, ${at[1].toFixed(1)}px)`;
    });
  };
}
