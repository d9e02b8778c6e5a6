// The live view: changes go into a list, the list goes to the program, and its map comes back while the
// picture of the nodes has already moved.
import { MapBlock } from '../map/map_block';
import { edgesOnMap } from '../map/map_contents';
import type { Frame } from '../page/frame';
import { linkOfLedger, phoneHeight_m } from '../section/chosen';
import type { ChosenLink } from '../section/chosen';
import type { Shown } from '../shown';
import { decodedScene } from '../site';
import type { Site } from '../site';
import type { Edit } from '../live';
import { plain } from '../words';
import { changePanel } from './change_panel';
import type { ChangePanel } from './change_panel';
import type { Client, MapFrame } from './client';
import { changesScene, EditList, inWords, nodesAfter } from './edits';
import { handles, nodeButtons } from './handles';
import { MapFeed } from './map_feed';
import { dropFiles } from './survey_drop';

export function liveView(client: Client, site: Site, shown: Shown, frame: Frame, block: MapBlock, refill: () => void): void {
  const list = new EditList();
  const firstNodes = site.scene.nodes;
  let going = false; // a hand is still moving
  let thing = -1;
  const feed = new MapFeed(client, show, (message) => panel.says(message));
  const panel: ChangePanel = changePanel(site, {
    edit: (edit) => change(edit), undo: () => step(() => list.undo()), redo: () => step(() => list.redo()), startAgain: () => step(() => list.clear()),
    addHere: (what, heading_deg, height_m) => {
      const at = block.link?.to;
      if (at) change({ do: 'add', what, x_m: at[0], y_m: at[1], heading_deg, height_m });
    },
    takeAwayChosen, takeAwayAddition: (add) => change({ do: 'unadd', add }),
    survey: (file) => void survey(file), save: (name) => void save(name),
  });

  function change(edit: Edit, keepGoing = false): void {
    list.add(edit, going);
    going = keepGoing;
    answer(changesScene(edit));
  }
  function step(act: () => void): void {
    const before = list.all;
    act();
    going = false;
    const touched = [...before, ...list.all].some(changesScene);
    answer(touched);
  }

  /** The picture at once, the program's answer as it comes. */
  function answer(newScene: boolean): void {
    const edits = list.all;
    site.scene.nodes = nodesAfter(firstNodes, edits, site.street.ground);
    if (block.map) block.map.symbols.scene = site.scene;
    if (block.changed !== list.canUndo) {
      block.changed = list.canUndo;
      block.repaint();
    }
    block.map?.draw();
    refresh();
    panel.stage('asking', true);
    if (newScene) void rebuild(edits);
    feed.ask(edits);
  }

  async function rebuild(edits: Edit[]): Promise<void> {
    try {
      const street = await decodedScene(await client.scene(edits));
      if (JSON.stringify(edits) !== JSON.stringify(list.all)) return; // a newer change came meanwhile
      street.scene.nodes = nodesAfter(firstNodes, edits, street.ground);
      site.street = street;
      thing = -1;
      block.map?.showStreet(street);
      refresh();
    } catch (error) {
      panel.says(error instanceof Error ? error.message : String(error));
    }
  }

  function show(frameOfMap: MapFrame): void {
    const { header, answer: ground } = frameOfMap;
    site.ground = ground;
    panel.stage(header.final ? `every cell, ${header.ms.toFixed(0)} ms` : `sight exact, levels every ${header.ledger_step_m} m, ${header.ms.toFixed(0)} ms`, !header.final);
    frame.stage.dataset['mapStage'] = header.final ? 'final' : String(header.stage);
    void block.showGround(header.final);
    if (block.map) edgesOnMap(block.map, site, header.edges); // a coarse map has none
    if (header.final) void block.showPlace();
  }

  function refresh(): void {
    const chosen = site.scene.things[thing];
    panel.refresh({
      canUndo: list.canUndo, canRedo: list.canRedo, done: list.all.map((e) => inWords(e, site.scene)),
      additions: list.additions().map(({ add, edit }) => ({ add, words: `${edit.what} put in ` })),
      thing: chosen && chosen.kind !== 'ground' ? `${plain(chosen.what)} ${chosen.id}` : null, placed: block.link !== null,
    });
  }

  /** Something put in by the reader is taken out of the list of additions, anything else by its source. */
  function takeAwayChosen(): void {
    const chosen = site.scene.things[thing];
    const at = block.map?.placeOf(thing);
    if (!chosen) return;
    const own = at ? list.additions().find(({ edit }) => Math.hypot(edit.x_m - at[0], edit.y_m - at[1]) < 0.6) : undefined;
    if (own) change({ do: 'unadd', add: own.add });
    else change({ do: 'remove', source: chosen.source });
  }

  async function survey(file: File): Promise<void> {
    try {
      const { points, suspects, remarks } = await client.survey(list.all, file.name, await file.text());
      site.answers.points.push(...points);
      site.answers.suspects.push(...suspects);
      refill();
      block.repaint();
      panel.says(`${points.length} rows of ${file.name} explained. ${remarks.join(' ')}`);
    } catch (error) {
      panel.says(`${file.name}: ${error instanceof Error ? error.message : String(error)}`);
    }
  }

  async function save(name: string): Promise<void> {
    try {
      const { file, things } = await client.save(list.all, name);
      panel.says(`Saved as ${file}${things ? `, with ${things}` : ''}.`);
    } catch (error) {
      panel.says(error instanceof Error ? error.message : String(error));
    }
  }

  /** The whole ledger of a place; of a measured point only when the site is no longer as it was. */
  block.ask = async (x, y, point): Promise<ChosenLink | null> => {
    if (point && !list.canUndo) return null;
    const { ledger, sentence } = await client.link(list.all, x, y, phoneHeight_m);
    return ledger ? linkOfLedger(ledger, point, sentence) : null;
  };
  block.clickedThing = (index) => {
    thing = index;
    refresh();
  };
  shown.on('place', () => setTimeout(refresh));
  frame.change.hidden = false;
  frame.change.replaceChildren(panel.head);
  frame.changes.replaceChildren(panel.body);
  dropFiles((file) => void survey(file));
  if (block.map) {
    block.map.symbols.editing = true;
    const hands = {
      move: (node: number, to: [number, number], keepGoing: boolean): void => {
        if (node < 0) going = false;
        else change({ do: 'move_node', node, x_m: to[0], y_m: to[1] }, keepGoing);
      },
      raise: (node: number, by_m: number): void =>
        change({ do: 'raise_node', node, height_agl_m: Math.max(1, site.scene.nodes[node]!.height_agl_m + by_m) }, true),
      turn: (node: number, sector: number, azimuth_deg: number, keepGoing: boolean): void =>
        change({ do: 'turn_sector', node, sector, azimuth_deg, downtilt_deg: site.scene.nodes[node]!.sectors[sector]!.downtilt_deg }, keepGoing),
    };
    handles(block.map, site, hands);
    nodeButtons(block.map, site, hands);
    block.map.draw();
  }
  panel.stage('as the site is', false);
  refresh();
}
