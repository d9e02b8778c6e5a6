// A whole document about the invented town, as the program would write it.
import type { Answers, Ledger, Point, Term, Text, Xyz } from '../../tools/viewer/src/answers';
import { causes, edgesOf, inventedBands, inventedRun, InventedPhysics, perElementDb, stateOf } from './invented_prediction';
import type { Spot } from './invented_prediction';
import { fromTown, groundAt, inventedScene, seeded } from './invented_town';

const feet = (m: number): string => `${Math.round(m / 0.3048)} ft`;
const metres = (m: number): string => `${Math.round(m)} m`;
function both(words: (length: (m: number) => string) => string): Text {
  return { metric: words(metres), imperial: words(feet) };
}

const sights = ['none', 'los', 'olos', 'nlos'];
const states = ['drop', 'marginal', 'hold'];

export function inventedLedger(spot: Spot, id: string, node: Xyz, to: Xyz, frequency: number): Ledger {
  const term = (model: string, source: string, group: Term['group'], loss_db: number, cause: string, thing: number): Term => ({
    model, source, group, loss_db, cause, thing, in_range: true, spread_db: 0,
  });
  const terms = [
    term('free_space', 'ITU-R P.525', 'free_space', spot.free_space_db, 'distance', -1),
    term('gas', 'ITU-R P.676 Annex 1', 'gas_rain', spot.gas_rain_db, 'distance', -1),
  ];
  if (spot.diffraction_db > 0) terms.push(term('silhouette', 'Kirchhoff field behind the outline', 'diffraction', spot.diffraction_db, spot.cause, spot.thing));
  if (spot.foliage_db > 0)
    terms.push({ ...term('foliage_saturating', 'ITU-R P.833', 'foliage', spot.foliage_db, 'foliage', spot.thing), low_db: spot.foliage_db * 0.6, high_db: spot.foliage_db * 1.6, spread_db: 3 });
  const fixed = (v: number, digits = 2): string => v.toFixed(digits);
  const flat = Math.hypot(to[0] - node[0], to[1] - node[1]);
  return {
    node: 'N1', sector: spot.sector === 0 ? 'east' : 'west', from: node, to, frequency_ghz: frequency, terms,
    row: {
      point_id: id, node: 'N1', sector: spot.sector === 0 ? 'east' : 'west', distance_2d_m: fixed(flat), distance_3d_m: fixed(spot.distance_m),
      sight: sights[spot.sight]!, cause: spot.cause, cause_id: '', clearance_m: '0.84', clearance_fresnel: '1.12',
      free_space_db: fixed(spot.free_space_db), diffraction_db: fixed(spot.diffraction_db), foliage_db: fixed(spot.foliage_db), penetration_db: '0.00',
      gas_rain_db: fixed(spot.gas_rain_db), pattern_db: fixed(spot.pattern_db), reflection_gain_db: fixed(spot.reflection_gain_db),
      path_loss_db: fixed(spot.path_loss_db), rsrp_dbm: fixed(spot.rsrp_dbm), snr_db: fixed(spot.snr_db), downlink_mbps: fixed(spot.downlink_mbps, 1),
      uplink_mbps: fixed(spot.uplink_mbps, 1), p_hold: fixed(spot.p_hold, 3), state: states[stateOf(spot.p_hold)]!,
    },
    eirp_dbm: 56, pattern_db: spot.pattern_db, receiver_gain_db: 11, turned_away_db: 0, reflection_gain_db: spot.reflection_gain_db,
    broadcast_db: 0, per_element_db: perElementDb, rsrp_dbm: spot.rsrp_dbm, sigma_db: 5,
    crossings: spot.thing >= 0 ? [{ thing: spot.thing, enter_m: flat * 0.6, exit_m: flat * 0.7 }] : [],
    clearance_m: 0.84, clearance_fresnel: 1.12, clearance_at_m: flat * 0.5,
    reflected: [{
      points: [node, [(node[0] + to[0]) / 2 - 3, (node[1] + to[1]) / 2 + 14, (node[2] + to[2]) / 2], to],
      level_db: -13.5, surface: 'house 12', strongest: spot.sight === 3,
    }],
  };
}

export interface DocumentSize {
  seed: number;
  buildings: number;
  half_m: number;
  step_m: number;
  points: number;
  live?: boolean;
}

export const demoSize: DocumentSize = { seed: 8, buildings: 260, half_m: 300, step_m: 3, points: 14 };
/** The size the issue asks for: 2,000 buildings and 250,000 cells. */
export const bigSize: DocumentSize = { seed: 8, buildings: 2000, half_m: 520, step_m: 2.08, points: 60 };

function inventedPoint(physics: InventedPhysics, index: number, u: number, v: number, random: () => number): Point {
  const [x, y] = fromTown(u, v);
  const place: Xyz = [x, y, groundAt(x, y) + 1.5];
  const spot = physics.at(x, y)!;
  const surprise = index === 5 || index === 11;
  const level = spot.rsrp_dbm + (random() - 0.5) * 5 - (surprise ? 19 : 0);
  const connected = level > -104;
  const cause = surprise ? 'unmapped' : spot.cause;
  const name = spot.thing >= 0 ? physics.scene.things[spot.thing]!.id : '';
  const say = (length: (m: number) => string): string =>
    surprise ? `Measured ${Math.round(spot.rsrp_dbm - level)} dB under the prediction; nothing on the map stands in the way at ${length(u)}.`
    : cause === 'none' ? `As predicted, ${length(spot.distance_m)} from the node with a clear view.`
    : cause === 'terrain' ? `The crest of the street hides the node; step back ${length(14)} towards it.`
    : cause === 'distance' ? `Simply far: ${length(spot.distance_m)} from the node.`
    : `${name ? `The ${name}` : 'Something'} stands in the beam, ${length(spot.distance_m * 0.3)} from you, and costs ${(spot.diffraction_db + spot.foliage_db).toFixed(0)} dB.`;
  return {
    id: `Q${index + 1}`, kind: 'measured', survey: 'walk_invented.csv', row: index + 1, place, accuracy_m: 3 + random() * 4,
    context: 'outdoor', note: '', time: `2026-05-04T10:${String(10 + index).padStart(2, '0')}:00Z`,
    measured: {
      rsrp_dbm: Math.round(level * 10) / 10, sinr_db: null, downlink_mbps: connected ? Math.round(Math.min(1900, Math.max(30, 70 * (level + 108)))) : 0,
      uplink_mbps: connected ? 40 : 0, latency_ms: connected ? 11 : null, connected,
    },
    residual_db: level - spot.rsrp_dbm, cause, cause_id: name, thing: surprise ? -1 : spot.thing,
    confidence: surprise ? 0.72 : 0.88,
    costs: spot.diffraction_db + spot.foliage_db > 0 ? [{ what: name || 'the crest', thing: spot.thing, cost_db: spot.diffraction_db + spot.foliage_db }] : [],
    step: cause === 'none' ? null : { east_m: -12, north_m: -2, distance_m: 12.2 },
    sentence: both(say), distance_m: u, ledger: inventedLedger(spot, `Q${index + 1}`, physics.node, place, 28),
  };
}

export function inventedAnswers(size: DocumentSize): Answers {
  const random = seeded(size.seed + 1);
  const scene = inventedScene(size);
  const node = scene.nodes[0]!;
  const physics = new InventedPhysics(scene, size.half_m, node.position, node.sectors.map((s) => s.azimuth_deg));
  const cells = Math.floor((2 * size.half_m) / size.step_m);
  const grid = { x0_m: -size.half_m + size.step_m / 2, y0_m: -size.half_m + size.step_m / 2, step_m: size.step_m, columns: cells, rows: cells };
  const { bands, hold } = inventedBands(physics, grid);
  const runs = [inventedRun(physics, 'Tarn Street', 0, Math.min(size.half_m, 300)), inventedRun(physics, 'Alder Row', 62, Math.min(size.half_m, 300))];
  const reach = Math.min(size.half_m - 30, 270);
  const points = Array.from({ length: size.points }, (_, i) =>
    inventedPoint(physics, i, -60 + ((reach + 60) * i) / Math.max(1, size.points - 1), i % 2 ? 4.2 : -4.2, random));
  const dropLine = [0, 10, 20].map((u): Xyz => {
    const [x, y] = fromTown(238 + u, 0);
    return [x, y, groundAt(x, y)];
  });
  const suspectAt = fromTown(92, -3);
  return {
    format: 1, version: '0.1.0', site: 'Quillmere (invented), Tarn Street', units: 'metric', live: size.live ?? false, phone_height_m: 1.5,
    verdicts: [
      { kind: 'holds', text: both((l) => `Holds to ${l(219)} up Tarn Street, east of the node.`), place: fromTown(219, 0) },
      { kind: 'drops', text: both((l) => `Drops between ${l(238)} and ${l(258)}, behind the crest.`), place: fromTown(248, 0) },
      { kind: 'unexplained', text: both(() => `Two of ${size.points} points unexplained: something that is not on the map.`), place: suspectAt },
      { kind: 'note', text: both((l) => `Round the corner into Fuller Street it is lost within ${l(9)}.`), place: null },
    ],
    about: [
      { name: 'Where', value: 'Quillmere, an invented town' },
      { name: 'Node', value: 'N1 on a lamp post, two sectors at 28 GHz' },
      { name: 'Phone', value: '1.5 m above ground, outdoors, facing the node' },
      { name: 'Surveyed', value: `4 May 2026, ${size.points} points` },
    ],
    assumptions: [
      { name: 'receiver.noise_figure_db', value: '10 dB', source: 'TR 38.901 Table 7.8-1', from_site: false },
      { name: 'node.sector.eirp_dbm', value: '56 dBm', source: 'the site file', from_site: true },
      { name: 'trees.porosity', value: '0.3', source: 'common practice, no source', from_site: false },
    ],
    scene,
    prediction: {
      grid, sector_names: ['N1/east', 'N1/west'], causes, bands, edges: edgesOf(grid, hold),
      drops: [{
        street: 'Tarn Street', node: 'N1', from_m: 238, to_m: 258, cause: 'terrain', thing: -1, line: dropLine,
        sentence: both((l) => `Tarn Street drops from ${l(238)} to ${l(258)}: the crest of the street is in the way.`),
      }],
      runs,
    },
    points,
    measured_drops: [{ sentence: both((l) => `Lost from ${l(236)} to ${l(262)} on both walks.`), line: dropLine }],
    suspects: [{
      place: [suspectAt[0], suspectAt[1], groundAt(...suspectAt)], width_m: 2.4, height_m: 3.5, likelihood: 0.64, enough_evidence: true,
      points: [5, 11].filter((i) => i < size.points), sentence: both((l) => `Probably something ${l(2.4)} wide and ${l(3.5)} high that is not on the map.`),
    }],
    fitted: [both(() => 'The fit is no clear gain: keep the site’s values.'), both((l) => `Measure ${l(97)} from N1.`)],
    comparison: {
      by: 'run', sentences: ['The two walks agree to within 3 dB.'], warnings: ['Seven points a walk are few: the interval is wide.'],
      charts: [{ title: 'Rate by run', svg: '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 80" width="300" height="80"><rect x="20" y="20" width="180" height="14" fill="#555"/><rect x="20" y="46" width="200" height="14" fill="#888"/><defs><g id="letter"><path d="M0 0h6v8h-6z"/></g></defs><use href="#letter" x="20" y="6"/><script>document.title = "broken into"</script></svg>' }],
    },
    quality: {
      layers: [
        { file: 'buildings.geojson', what: 'buildings', read: size.buildings + 2, used: size.buildings, set_aside: 2, repaired: 2, defaulted: 5, outside: 0 },
        { file: 'walk_invented.csv', what: 'measured points', read: size.points, used: size.points, set_aside: 0, repaired: 0, defaulted: 0, outside: 0 },
      ],
      remarks: [{ severity: 'warning', where: 'buildings.geojson:buildings:87', message: 'ring crosses itself; repaired', count: 2 }],
    },
    sources: [
      { title: 'ITU-R P.525: Calculation of free-space attenuation', models: ['free_space'] },
      { title: 'ITU-R P.833: Attenuation in vegetation', models: ['foliage_saturating'] },
    ],
    cautions: [
      'Predictions are estimates for planning a test, not a service guarantee.',
      'Never operate a phone while driving; mind traffic, and test from the footway.',
      'Keep the distance that signs at an antenna ask for. The exposure distance shown is a free-space screening figure, not a compliance assessment: local codes and licensed practice decide.',
      'Do not climb poles or roofs, and respect private land.',
    ],
    attribution: ['Invented data, drawn for tests'],
  };
}
