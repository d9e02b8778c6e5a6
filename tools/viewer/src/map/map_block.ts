// The map with everything that follows it: ground, lines, points, panel, legend, and the still map
// where there is no WebGL and on paper.
import type { Point } from '../answers';
import type { Frame } from '../page/frame';
import { legend } from '../page/legend';
import { groundSelect, viewSwitch, walk, zoomButtons } from '../page/map_tools';
import { litAs } from '../page/theme';
import { chosenLink } from '../section/chosen';
import type { ChosenLink } from '../section/chosen';
import { linkPanel, nothingChosen } from '../section/link_panel';
import type { Shown } from '../shown';
import type { Site } from '../site';
import { said } from '../units';
import { groundPaint } from './ground_paint';
import type { GroundPaint } from './ground_paint';
import { looksOf } from './looks';
import { dropsOnMap, edgesOnMap, interesting, linkOnMap, pointsOnMap } from './map_contents';
import { handsOnMap, pointButtons } from './map_hands';
import { staticMap } from './static_map';
import { StreetMap } from './street_map';

export class MapBlock {
  map: StreetMap | null = null;
  link: ChosenLink | null = null;
  /** The live view asks the program instead of the cell. */
  ask: ((x: number, y: number, point: Point | null) => Promise<ChosenLink | null>) | null = null;
  /** Words, plots and tables are of another site than the map: before the last change, or after one taken back. */
  stale = false;
  clickedThing: (index: number) => void = () => undefined;
  /** After each choice of a place, when what is known of it is there. */
  placeShown: () => void = () => undefined;
  private paint: GroundPaint | null = null;
  private box: [number, number, number, number] = [-100, -100, 100, 100];
  private refillButtons: () => void = () => undefined;
  private asked = 0;

  constructor(
    private readonly site: Site,
    private readonly shown: Shown,
    private readonly frame: Frame,
  ) {}

  async start(): Promise<void> {
    const { site, shown, frame } = this;
    this.box = await interesting(site);
    try {
      this.map = new StreetMap(frame.stage, site.street);
    } catch {
      this.withoutWebgl();
    }
    frame.mapTools.replaceChildren(...[
      this.map ? viewSwitch(shown) : null, groundSelect(shown),
      this.map ? zoomButtons((f) => { this.map?.view.zoom(f); this.map?.draw(); }, () => this.fit()) : null,
    ].filter((n): n is HTMLElement => n !== null));
    frame.walk.replaceChildren(walk(site, shown));
    if (this.map) {
      handsOnMap(this.map, site, shown, (thing) => this.clickedThing(thing));
      this.refillButtons = pointButtons(this.map, site, shown);
      this.fit();
    }
    this.repaint();
    await this.showGround();
    shown.on('ground', () => void this.showGround());
    shown.on(['theme', 'units'], () => this.repaint());
    shown.on(['place', 'units'], () => void this.showPlace());
    shown.on('view', () => this.look());
    await this.showPlace();
    this.map?.begin();
  }

  private withoutWebgl(): void {
    this.frame.stage.remove();
    const { stillMap } = this.frame;
    stillMap.classList.add('shown');
    for (const [name, value] of [['id', 'map'], ['tabindex', '0'], ['role', 'region'], ['aria-label', 'Map']] as const) stillMap.setAttribute(name, value);
    this.frame.notice.hidden = false;
    this.frame.notice.textContent = 'This browser draws no 3D (WebGL is off), so the map is a still drawing. Everything else on the page works.';
  }

  fit(): void {
    this.map?.view.frame(this.box, this.site.street.ground);
    this.map?.draw();
  }

  go([x, y]: [number, number]): void {
    if (this.shown.get('view') === 'eye') this.shown.set('view', 'map');
    this.map?.view.lookAt(x, y);
    if (this.map && this.map.view.metresPerPixel() > 0.35) this.map.view.zoom(this.map.view.metresPerPixel() / 0.35);
    this.map?.draw();
    this.frame.stage.scrollIntoView({ block: 'nearest' });
    this.shown.set('place', { kind: 'spot', x, y });
  }

  /** Everything whose colours or words depend on the theme or the units. */
  repaint(): void {
    const { map, site, shown } = this;
    const units = shown.get('units');
    if (map) {
      map.units = units;
      map.theme(litAs(shown.get('theme')));
      if (site.ground) edgesOnMap(map, site, site.ground.edges);
      dropsOnMap(map, site, units, this.stale);
      pointsOnMap(map, site);
      linkOnMap(map, site, this.link, units);
      this.refillButtons();
    } else if (this.paint || !site.ground) this.still();
  }

  /** `settled` = no finer map is on its way. */
  async showGround(settled = true): Promise<void> {
    const { site, frame, shown } = this;
    if (site.ground) {
      const answer = site.ground;
      const paint = await groundPaint(answer, shown.get('ground'));
      if (site.ground !== answer) return; // a newer map came meanwhile
      this.paint = paint;
      this.map?.showGround(this.paint, answer);
    }
    if (settled) frame.legend.replaceChildren(...legend(site, this.paint));
    if (!this.map) this.still();
  }

  async showPlace(): Promise<void> {
    const { site, shown, frame } = this;
    const place = shown.get('place');
    const turn = ++this.asked;
    let link = place ? await chosenLink(site, place) : null;
    if (turn !== this.asked) return;
    this.show(link);
    if (this.ask && link && Number.isFinite(link.to[0])) {
      const told = await this.ask(link.to[0], link.to[1], link.point).catch(() => null);
      if (turn !== this.asked) return;
      if (told) this.show((link = told));
    }
    const spoken = link?.sentence ? said(link.sentence, shown.get('units')) : '';
    frame.status.textContent = link ? `${link.point ? `Point ${link.point.id}. ` : 'Place chosen. '}${spoken}` : '';
  }

  private show(link: ChosenLink | null): void {
    const { site, shown, frame, map } = this;
    this.link = link;
    const units = shown.get('units');
    frame.panel.replaceChildren(...(link ? linkPanel(site, link, units) : nothingChosen()));
    frame.panel.scrollTop = 0;
    frame.panel.dataset['place'] = link ? (link.point ? link.point.id : 'spot') : '';
    if (map) {
      linkOnMap(map, site, link, units);
      if (shown.get('view') === 'eye') this.stand();
    }
    this.placeShown();
  }

  private look(): void {
    const view = this.shown.get('view');
    if (!this.map) return;
    this.map.view.switchTo(view);
    if (view === 'eye') this.stand();
    this.map.draw();
  }

  /** At the chosen place, or by the node, with the eye at the height of the phone. */
  private stand(): void {
    const { map, site, link } = this;
    const node = site.scene.nodes[0];
    if (!map) return;
    const [x, y] = link && Number.isFinite(link.to[0]) ? [link.to[0], link.to[1]] : map.view.centre();
    const eye = site.street.ground.near(x, y) + site.answers.phone_height_m + 0.1;
    map.view.stand([x, y, eye], link?.from ?? node?.position ?? [x, y + 10, eye]);
    map.draw();
  }

  /** The still map: shown without WebGL, and printed always. On paper it is light whatever the screen is. */
  still(paper = false): void {
    const looks = looksOf(paper ? 'light' : litAs(this.shown.get('theme')));
    const chosen = (index: number): void => this.shown.set('place', { kind: 'point', index });
    this.frame.stillMap.replaceChildren(staticMap(this.site, this.paint, this.box, looks, this.shown.get('units'), chosen));
  }
}
