// The live view: changes go into a list, the list goes to the program, and its map comes back while the
// picture of the nodes has already moved; when the map is whole, words, plots and tables follow.
import type { Answers, StreetRun } from '../answers';
import { MapBlock } from '../map/map_block';
import { edgesOnMap } from '../map/map_contents';
import type { Frame } from '../page/frame';
import { linkOfLedger } from '../section/chosen';
import type { ChosenLink } from '../section/chosen';
import type { Shown } from '../shown';
import { decodedScene } from '../site';
import type { Site } from '../site';
import type { Edit } from '../live';
import { plain } from '../words';
import { AnswersFeed, withSurvey } from './answers_feed';
import type { Dropped } from './answers_feed';
import { changePanel } from './change_panel';
import type { ChangePanel } from './change_panel';
import { Overtaken, Refused } from './client';
import type { Client, MapFrame } from './client';
import { additionOf, EditList, inWords, nodesAfter, ofScene } from './edits';
import { handles, nodeButtons } from './handles';
import { MapFeed } from './map_feed';
import { dropFiles } from './survey_drop';

/** The land was read this much farther than the radius of each node (sim/import/working_area.cpp). */
const landBeyond_m = 100;

const textOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));
const keyOf = (edits: Edit[]): string => JSON.stringify(edits);

/** `refill` fills everything but the map anew, with the street that was shown before. */
export function liveView(client: Client, site: Site, shown: Shown, frame: Frame, block: MapBlock, refill: (before?: StreetRun) => void): void {
  const list = new EditList();
  const firstNodes = site.scene.nodes;
  const dropped = new Map<string, Dropped>(); // surveys, by name
  let going = false; // a hand is still moving
  let thing = -1;
  let answered = keyOf([]); // the edits that words, plots and tables are of
  let asked = answered; // the edits of the last question for a map
  let whole = answered; // the edits of the last map that had all its cells
  let standing = keyOf([]); // the edits of the scene that is drawn or asked for
  const feed = new MapFeed(client, show, refused);
  const words = new AnswersFeed(client, site.answers, () => [...dropped.values()], told, notTold);
  const panel: ChangePanel = changePanel(site, shown, {
    edit: (edit) => change(edit), undo: () => step(() => list.undo()), redo: () => step(() => list.redo()), startAgain: () => step(() => list.clear()),
    addHere: (what, heading_deg, height_m) => {
      const at = block.link?.to;
      if (at) change({ do: 'add', what, x_m: at[0], y_m: at[1], heading_deg, height_m });
    },
    takeAwayChosen, takeAwayAddition: (add) => change({ do: 'unadd', add }),
    survey: (file) => void survey(file), save: (name) => void save(name),
  });
  const done = (): string[] => list.all.map((edit) => inWords(edit, site.scene, shown.get('units')));

  function change(edit: Edit, keepGoing = false): void {
    list.add(edit, going);
    going = keepGoing;
    answer();
  }
  function step(act: () => void): void {
    act();
    going = false;
    answer();
  }

  /** The picture at once, the program's answer as it comes. */
  function answer(): void {
    const edits = list.all;
    if (keyOf(edits) === asked) return; // a hand that let go where it already was
    asked = keyOf(edits);
    words.cancel();
    site.scene.nodes = nodesAfter(firstNodes, edits, site.street.ground);
    if (block.map) block.map.symbols.scene = site.scene;
    setStale(keyOf(edits) !== answered);
    block.map?.draw();
    panel.says('');
    refresh();
    sayWhose();
    panel.stage('asking', true);
    if (keyOf(ofScene(edits)) !== standing) void rebuild(edits);
    feed.ask(edits);
  }

  function setStale(stale: boolean): void {
    if (block.stale === stale) return;
    block.stale = stale;
    block.repaint();
  }

  /** Says which site the words, plots and tables are of. */
  function sayWhose(problem = ''): void {
    const changes = done().join('; ');
    if (answered === keyOf(list.all)) frame.sayWhose(list.canUndo ? `With your changes: ${changes}.` : '', false);
    else if (problem) frame.sayWhose(`Not with your changes (${changes || 'taken back'}): ${problem}`, false);
    else frame.sayWhose(list.canUndo ? `Still without your changes: ${changes}. They are being worked in.` : 'Still with changes that you took back.', true);
  }

  async function rebuild(edits: Edit[]): Promise<void> {
    const wanted = keyOf(ofScene(edits));
    standing = wanted;
    try {
      const street = await decodedScene(await client.scene(edits));
      if (standing !== wanted) return; // something else was put in or taken away meanwhile
      street.scene.nodes = nodesAfter(firstNodes, list.all, street.ground);
      site.street = street;
      thing = -1;
      block.map?.showStreet(street);
      refresh();
    } catch (error) {
      panel.says(textOf(error));
    }
  }

  function show(frameOfMap: MapFrame): void {
    const { header, answer: ground } = frameOfMap;
    site.ground = header.bands.length ? ground : null; // without a node there is none
    panel.stage(header.final ? `every cell, ${header.ms.toFixed(0)} ms` : `sight exact, levels every ${header.ledger_step_m} m, ${header.ms.toFixed(0)} ms`, !header.final);
    frame.stage.dataset['mapStage'] = header.final ? 'final' : String(header.stage);
    void block.showGround(header.final);
    if (block.map) edgesOnMap(block.map, site, header.edges); // a coarse map has none
    if (!header.final) return;
    void block.showPlace();
    whole = keyOf(list.all);
    follow();
  }

  /** Asks for the words to a map that is whole; not before the hand lets go, for new words may shift the page. */
  function follow(): void {
    const key = keyOf(list.all);
    if (key === whole && key !== answered && !frame.stage.classList.contains('held')) void words.ask(list.all);
  }

  /** A change that cannot be made: a node in a house, say. The map stays that of the change before. */
  function refused(error: unknown): void {
    panel.stage('no answer', false);
    panel.says(`${textOf(error)}${error instanceof Refused ? '. Undo takes it back.' : ''}`);
    sayWhose('it cannot be worked out');
  }

  function told(edits: Edit[], answers: Answers): void {
    answered = keyOf(edits);
    apply(answers);
    sayWhose();
  }

  function notTold(message: string): void {
    panel.says(message);
    sayWhose(message);
  }

  function apply(answers: Answers): void {
    const run = site.answers.prediction?.runs[shown.get('run')];
    site.answers = answers;
    block.stale = answered !== keyOf(list.all);
    refill(run);
    block.repaint();
    void block.showGround();
    void block.showPlace();
  }

  function refresh(): void {
    const chosen = site.scene.things[thing];
    panel.refresh({
      canUndo: list.canUndo, canRedo: list.canRedo, done: done(), ...list.weather(),
      wandered: site.scene.nodes.some(({ position: [x, y] }, n) => Math.hypot(x - firstNodes[n]!.position[0], y - firstNodes[n]!.position[1]) > landBeyond_m),
      additions: list.additions().map(({ add, edit }) => ({ add, words: `${edit.what} put in ` })),
      thing: chosen && chosen.kind !== 'ground' ? `${plain(chosen.what)} ${chosen.id}` : null, placed: block.link !== null && Number.isFinite(block.link.to[0]),
    });
  }

  /** Something put in by the reader is taken out of the list of additions, anything else by its source. */
  function takeAwayChosen(): void {
    const chosen = site.scene.things[thing];
    if (!chosen) return;
    const add = additionOf(chosen.source);
    change(add >= 0 ? { do: 'unadd', add } : { do: 'remove', source: chosen.source });
  }

  /** Explained for the site as it now is; after the next change it is asked about again with the rest. */
  async function survey(file: File): Promise<void> {
    const key = keyOf(list.all);
    try {
      panel.says(`Explaining ${file.name} …`);
      const text = await file.text();
      const found = await client.survey(list.all, file.name, text);
      const again = dropped.has(file.name);
      dropped.set(file.name, { name: file.name, text });
      if (!again && key === answered && key === keyOf(list.all)) apply(withSurvey(site.answers, found));
      else {
        words.cancel(); // what runs may have passed the surveys already
        await words.ask(list.all);
      }
      panel.says(`${found.points.length} rows of ${file.name} explained. ${found.remarks.join(' ')}`);
    } catch (error) {
      panel.says(`${file.name}: ${error instanceof Overtaken ? 'the site was changed meanwhile; drop it again' : textOf(error)}`);
    }
  }

  async function save(name: string): Promise<void> {
    try {
      const { file, things } = await client.save(list.all, name);
      panel.says(`Saved as ${file}${things ? `, with ${things}` : ''}.`);
    } catch (error) {
      panel.says(textOf(error));
    }
  }

  /** The whole ledger of a place; of a measured point only when its own is of another site. */
  block.ask = async (x, y, point): Promise<ChosenLink | null> => {
    if (point && !block.stale) return null;
    const { ledger, sentence } = await client.link(list.all, x, y, site.answers.phone_height_m);
    return ledger ? { ...linkOfLedger(ledger, null, sentence), point } : null;
  };
  block.clickedThing = (index) => {
    thing = index;
    refresh();
  };
  block.placeShown = refresh;
  shown.on('units', () => {
    refresh();
    sayWhose();
  });
  frame.change.hidden = false;
  frame.change.replaceChildren(panel.head);
  frame.changes.replaceChildren(panel.body);
  dropFiles((file) => void survey(file));
  if (block.map) {
    block.map.symbols.editing = true;
    const hands = {
      move: (node: number, to: [number, number], keepGoing: boolean): void => {
        if (node < 0) {
          going = false;
          follow();
        } else change({ do: 'move_node', node, x_m: to[0], y_m: to[1] }, keepGoing);
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
