// What is known of the link to a chosen place: of a point its ledger as the program wrote it, of
// any other place the answers of its map cell.
import type { Ledger, Point, Text, Xyz } from '../answers';
import type { Place } from '../shown';
import { bandValue } from '../site';
import type { BandName, Site } from '../site';

/** Columns of receivers.csv that a cell knows, in the order they are read. */
export const cellColumns: BandName[] = [
  'free_space_db', 'diffraction_db', 'foliage_db', 'penetration_db', 'gas_rain_db', 'pattern_db', 'reflection_gain_db',
  'path_loss_db', 'rsrp_dbm', 'snr_db', 'downlink_mbps', 'uplink_mbps', 'p_hold',
];

export interface ChosenLink {
  to: Xyz; // the phone
  from: Xyz | null; // the antenna; null where no node serves
  node: string;
  sector: string;
  frequency_ghz: number;
  cause: string;
  thing: number; // index in the scene's things, -1 = none
  sight: string;
  state: string;
  point: Point | null;
  ledger: Ledger | null;
  cell: Map<BandName, number> | null; // of the cell, NaN left out
  sentence: Text | null;
}

export const sightNames = ['none', 'los', 'olos', 'nlos'];
export const stateNames = ['drop', 'marginal', 'hold'];

export function linkOfLedger(ledger: Ledger, point: Point | null, sentence: Text | null): ChosenLink {
  return {
    to: ledger.to, from: ledger.from, node: ledger.node, sector: ledger.sector, frequency_ghz: ledger.frequency_ghz,
    cause: point?.cause ?? ledger.row['cause'] ?? 'none', thing: point?.thing ?? worstThing(ledger),
    sight: ledger.row['sight'] ?? 'none', state: ledger.row['state'] ?? '', point, ledger, cell: null, sentence,
  };
}

function worstThing(ledger: Ledger): number {
  const named = ledger.terms.filter((t) => t.thing >= 0).sort((a, b) => b.loss_db - a.loss_db);
  return named[0]?.thing ?? -1;
}

function nowhere(to: Xyz, point: Point | null): ChosenLink {
  return {
    to, from: null, node: '', sector: '', frequency_ghz: 0, cause: point?.cause ?? '', thing: -1, sight: 'none', state: '',
    point, ledger: null, cell: null, sentence: point?.sentence ?? null,
  };
}

/** The cell about a place. Its geometry is drawn to the cell's centre, for which its numbers hold. */
async function linkOfCell(site: Site, x: number, y: number): Promise<ChosenLink> {
  const phone = (px: number, py: number): Xyz => [px, py, site.street.ground.near(px, py) + site.answers.phone_height_m];
  const answer = site.ground;
  const at = answer?.cellAt(x, y) ?? -1;
  if (!answer || at < 0) return nowhere(phone(x, y), null);
  const read = async (name: BandName): Promise<number> => bandValue(name, (await answer.band(name).catch(() => null))?.[at] ?? NaN);
  const hold = await read('p_hold');
  const sector = await read('best_sector');
  const [cx, cy] = answer.centreOf(at);
  if (Number.isNaN(hold) || !(sector > 0)) return nowhere(phone(x, y), null);
  const cell = new Map<BandName, number>();
  for (const name of cellColumns) {
    const value = await read(name);
    if (!Number.isNaN(value)) cell.set(name, value);
  }
  const full = answer.sectorNames[sector - 1] ?? '';
  const slash = full.lastIndexOf('/');
  const [nodeId, sectorId] = [full.slice(0, slash), full.slice(slash + 1)];
  const node = site.scene.nodes.find((n) => n.id === nodeId);
  const thing = await read('cause_thing');
  const cause = await read('cause');
  return {
    to: phone(cx, cy), from: node?.position ?? null, node: nodeId, sector: sectorId,
    frequency_ghz: node?.sectors.find((s) => s.id === sectorId)?.frequency_ghz ?? node?.sectors[0]?.frequency_ghz ?? 28,
    cause: answer.causes[cause] ?? 'none', thing: Number.isNaN(thing) || thing >= site.scene.things.length ? -1 : thing,
    sight: sightNames[await read('sight')] ?? 'none', state: stateNames[await read('state')] ?? '',
    point: null, ledger: null, cell, sentence: null,
  };
}

export async function chosenLink(site: Site, place: Place): Promise<ChosenLink | null> {
  if (place.kind === 'spot') return linkOfCell(site, place.x, place.y);
  const point = site.answers.points[place.index];
  if (!point) return null;
  if (point.ledger) return linkOfLedger(point.ledger, point, point.sentence);
  return nowhere(point.place ?? [NaN, NaN, NaN], point);
}
