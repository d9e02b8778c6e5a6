// The list of changes to the site: undone from its end, done again in order, and what they make of the
// nodes, so that the picture moves before the program has answered.
import type { Node, Scene } from '../answers';
import type { Ground } from '../ground';
import type { Edit } from '../live';
import { length } from '../units';
import type { Units } from '../units';

export class EditList {
  private done: Edit[] = [];
  private undone: Edit[] = [];

  get all(): Edit[] {
    return [...this.done];
  }
  get canUndo(): boolean {
    return this.done.length > 0;
  }
  get canRedo(): boolean {
    return this.undone.length > 0;
  }

  /** `going` = the same hand is still moving: the last change is replaced, not added to. */
  add(edit: Edit, going = false): void {
    const last = this.done.at(-1);
    if (going && last && sameSubject(last, edit)) this.done.pop();
    this.done.push(edit);
    this.undone = [];
  }
  undo(): void {
    const edit = this.done.pop();
    if (edit) this.undone.push(edit);
  }
  redo(): void {
    const edit = this.undone.pop();
    if (edit) this.done.push(edit);
  }
  clear(): void {
    this.undone = [];
    this.done = [];
  }

  /** Season and rain as they were last set; null = as the site says. */
  weather(): { leafOn: boolean | null; mm_per_h: number | null } {
    const now: { leafOn: boolean | null; mm_per_h: number | null } = { leafOn: null, mm_per_h: null };
    for (const edit of this.done) {
      if (edit.do === 'leaf_on') now.leafOn = edit.on;
      else if (edit.do === 'rain') now.mm_per_h = edit.mm_per_h;
    }
    return now;
  }

  /** What was put into the street and still stands: its place in the list of additions. */
  additions(): { add: number; edit: Extract<Edit, { do: 'add' }> }[] {
    const gone = new Set(this.done.flatMap((e) => (e.do === 'unadd' ? [e.add] : [])));
    return this.done
      .filter((e): e is Extract<Edit, { do: 'add' }> => e.do === 'add')
      .map((edit, add) => ({ add, edit }))
      .filter(({ add }) => !gone.has(add));
  }
}

/** Which `add` of the list put a thing there, by its source; -1 = none, it is of the site. */
export function additionOf(source: string): number {
  const found = /(?:^|[/\\])added:\w+:(\d+)$/.exec(source);
  return found ? Number(found[1]) : -1;
}

function sameSubject(a: Edit, b: Edit): boolean {
  if (a.do !== b.do) return false;
  if (a.do === 'move_node' || a.do === 'raise_node') return a.node === (b as typeof a).node;
  if (a.do === 'turn_sector') return a.node === (b as typeof a).node && a.sector === (b as typeof a).sector;
  return a.do === 'leaf_on' || a.do === 'rain';
}

/** The edits that change the scene's own geometry: after others it need not be asked for again. */
export function ofScene(edits: Edit[]): Edit[] {
  return edits.filter((edit) => edit.do === 'add' || edit.do === 'remove' || edit.do === 'unadd');
}

/** The nodes after the changes. */
export function nodesAfter(nodes: Node[], edits: Edit[], ground: Ground): Node[] {
  const after = nodes.map((n): Node => ({ ...n, sectors: n.sectors.map((s) => ({ ...s })) }));
  for (const edit of edits) {
    if (edit.do !== 'move_node' && edit.do !== 'raise_node' && edit.do !== 'turn_sector') continue;
    const node = after[edit.node];
    if (!node) continue;
    if (edit.do === 'move_node') {
      const foot = node.position[2] - node.height_agl_m;
      node.position = [edit.x_m, edit.y_m, ground.near(edit.x_m, edit.y_m, foot) + node.height_agl_m];
    } else if (edit.do === 'raise_node') {
      node.position = [node.position[0], node.position[1], node.position[2] - node.height_agl_m + edit.height_agl_m];
      node.height_agl_m = edit.height_agl_m;
    } else {
      const sector = node.sectors[edit.sector];
      if (sector) Object.assign(sector, { azimuth_deg: edit.azimuth_deg, downtilt_deg: edit.downtilt_deg });
    }
  }
  return after;
}

/** A change in a few words, for the list of what was done. */
export function inWords(edit: Edit, scene: Scene, units: Units): string {
  switch (edit.do) {
    case 'move_node':
      return `${scene.nodes[edit.node]?.id ?? 'node'} moved`;
    case 'raise_node':
      return `${scene.nodes[edit.node]?.id ?? 'node'} at ${length(edit.height_agl_m, units)}`;
    case 'turn_sector':
      return `sector ${scene.nodes[edit.node]?.sectors[edit.sector]?.id ?? ''} to ${edit.azimuth_deg.toFixed(0)}°, tilt ${edit.downtilt_deg.toFixed(0)}°`;
    case 'add':
      return `${edit.what} put there`;
    case 'remove':
      return `${edit.source} taken away`;
    case 'unadd':
      return 'addition taken away';
    case 'leaf_on':
      return edit.on ? 'leaves on' : 'leaves off';
    case 'rain':
      return `rain ${edit.mm_per_h} mm/h`;
  }
}
