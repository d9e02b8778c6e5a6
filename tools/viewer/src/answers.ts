// What the page is told: the scene as the rays see it and every answer about it, in one document.
// The program writes it (sim/view); nothing here is computed in the page but sections and pictures.
// Metres in the scene's axes (x east, y north, z up, local origin), degrees clockwise from true
// north, decibels; losses positive.

/** A sentence with its lengths in either unit. */
export interface Text {
  metric: string;
  imperial: string;
}

/** Numbers as base64 of a zlib stream of little-endian values. */
export interface Packed {
  type: 'u8' | 'u16' | 'i16' | 'u32' | 'f32';
  count: number;
  data: string;
}

/** Row-major from the south-west; cell centres at x0_m + column * step_m, y0_m + row * step_m. */
export interface GridSpec {
  x0_m: number;
  y0_m: number;
  step_m: number;
  columns: number;
  rows: number;
}

export type Xy = [number, number];
export type Xyz = [number, number, number];

export interface Thing {
  id: string; // what the user calls it: "way/123", "lamp 7"
  kind: 'ground' | 'building' | 'pole' | 'trunk' | 'crown' | 'canopy' | 'vehicle' | 'object';
  what: string; // plain noun: "lamp post"
  source: string; // "poles.geojson:poles:12"; names the thing in an edit
  base_m: number;
  top_m: number;
  first_triangle: number; // in the mesh of its kind
  triangles: number;
  height_source?: string; // of a building: tagged, levels, surface, neighbours, fallback
  crown?: { center: Xyz; radius_m: number; half_height_m: number };
}

/** Triangles of one kind, outward normals counter-clockwise. */
export interface Mesh {
  kind: Thing['kind'];
  vertices: Packed; // f32: x, y, z, ...
  indices: Packed; // u32, three a triangle
}

export interface Sector {
  id: string;
  azimuth_deg: number;
  downtilt_deg: number;
  frequency_ghz: number;
  eirp_dbm: number;
  beamwidth_deg: number; // of the fan that is drawn: 3 dB width of the element
  pattern: string;
}

export interface Node {
  id: string;
  position: Xyz; // of the antennas
  height_agl_m: number;
  sectors: Sector[];
}

export interface Street {
  name: string;
  line: Xyz[];
}

export interface Scene {
  crs: string;
  origin_map: Xy; // easting and northing of the local origin
  /** lon = l[0] + l[1] x + l[2] y, lat = l[3] + l[4] x + l[5] y: good to a metre, for show. */
  lonlat: [number, number, number, number, number, number];
  bounds: [number, number, number, number]; // west, south, east, north of what is drawn, m
  ground: { grid: GridSpec; heights: Packed } | null; // f32 scene z, NaN outside; null = flat at 0
  elevation_offset_m: number; // elevation above the datum = z + this
  things: Thing[];
  meshes: Mesh[]; // not the ground, which is `ground`
  outlines: { thing: number; rings: Xy[][] }[]; // of buildings: shells and holes, even-odd
  nodes: Node[];
  streets: Street[];
}

/** Names of the bands of a prediction. Missing values: 255, 65535, -32768. */
export interface Bands {
  sight: Packed; // u8: 0 none, 1 los, 2 olos, 3 nlos
  state: Packed; // u8: 0 drop, 1 marginal, 2 hold
  best_sector: Packed; // u16: 0 none, else index in `sector_names` + 1
  cause: Packed; // u8: index in `causes`
  cause_thing: Packed; // u32: index in things, 4294967295 = none
  p_hold: Packed; // u8: p * 200
  rsrp_dbm: Packed; // i16: dBm * 50
  snr_db: Packed; // i16: dB * 50
  path_loss_db: Packed; // i16: dB * 50
  downlink_mbps: Packed; // u16: Mbit/s
  uplink_mbps: Packed; // u16: Mbit/s * 10
  // The ledger of the best sector, dB * 50, columns of receivers.csv:
  free_space_db: Packed;
  diffraction_db: Packed;
  foliage_db: Packed;
  penetration_db: Packed;
  gas_rain_db: Packed;
  pattern_db: Packed;
  reflection_gain_db: Packed;
}

/** What of a street a node serves, in walking order. */
export interface StreetRun {
  street: string;
  node: string;
  /** along_m: from the node along the street, signed; the rest of the best sector there. */
  rows: {
    along_m: number;
    x_m: number;
    y_m: number;
    distance_3d_m: number;
    sight: string;
    state: string;
    p_hold: number;
    rsrp_dbm: number;
    sigma_db: number; // of the level
    downlink_mbps: number;
    downlink_low_mbps: number;
    downlink_high_mbps: number;
  }[];
}

export interface Drop {
  street: string;
  node: string;
  from_m: number;
  to_m: number;
  cause: string;
  thing: number; // index in things, -1 = none
  line: Xyz[];
  sentence: Text;
}

export interface Prediction {
  grid: GridSpec;
  sector_names: string[]; // "node/sector"
  causes: string[];
  bands: Bands;
  edges: { p_hold: number; lines: Xy[][] }[]; // contours at 0.9, 0.5, 0.1
  drops: Drop[];
  runs: StreetRun[];
}

/** One line of a ledger. */
export interface Term {
  model: string; // name in the formula book, or words where it is none
  source: string; // document and section
  group: 'free_space' | 'diffraction' | 'foliage' | 'penetration' | 'gas_rain';
  loss_db: number;
  cause: string;
  thing: number; // -1 = none
  in_range: boolean;
  spread_db: number;
  low_db?: number; // of foliage
  high_db?: number;
}

/** The whole account of one link. */
export interface Ledger {
  node: string;
  sector: string;
  from: Xyz; // antenna
  to: Xyz; // phone
  frequency_ghz: number;
  /** The row of receivers.csv as it stands there, by column: text. */
  row: Record<string, string>;
  terms: Term[];
  eirp_dbm: number;
  pattern_db: number; // <= 0
  receiver_gain_db: number;
  turned_away_db: number;
  reflection_gain_db: number;
  broadcast_db: number;
  per_element_db: number; // received of the whole carrier to one resource element, <= 0
  rsrp_dbm: number;
  sigma_db: number;
  crossings: { thing: number; enter_m: number; exit_m: number }[]; // along the path from the node
  clearance_m: number | null; // null: nothing near
  clearance_fresnel: number | null;
  clearance_at_m: number | null;
  reflected: { points: Xyz[]; level_db: number; surface: string; strongest: boolean }[]; // level over the direct path
}

/** A measured point, or one that was asked for. */
export interface Point {
  id: string;
  kind: 'measured' | 'asked';
  survey: string;
  row: number;
  place: Xyz | null; // null: it has no place in the scene
  accuracy_m: number | null;
  context: string;
  note: string;
  time: string;
  measured: {
    rsrp_dbm: number | null;
    sinr_db: number | null;
    downlink_mbps: number | null;
    uplink_mbps: number | null;
    latency_ms: number | null;
    connected: boolean | null;
  };
  residual_db: number | null;
  cause: string;
  cause_id: string;
  thing: number;
  confidence: number;
  costs: { what: string; thing: number; cost_db: number }[];
  step: { east_m: number; north_m: number; distance_m: number } | null;
  sentence: Text;
  /** Where it stands from its node: along the street, or straight. */
  distance_m: number | null;
  ledger: Ledger | null;
}

export interface Suspect {
  place: Xyz;
  width_m: number;
  height_m: number;
  likelihood: number;
  enough_evidence: boolean;
  points: number[]; // indices in `points`
  sentence: Text;
}

export interface Answers {
  format: 1;
  version: string; // of the program
  site: string;
  units: 'metric' | 'imperial'; // shown at first
  live: boolean;
  phone_height_m: number; // above ground, of the map and of the streets
  verdicts: { kind: 'holds' | 'drops' | 'unexplained' | 'note'; text: Text; place: Xy | null }[];
  about: { name: string; value: string }[]; // the site in a few rows
  assumptions: { name: string; value: string; source: string; from_site: boolean }[];
  scene: Scene;
  prediction: Prediction | null; // null without nodes
  points: Point[];
  measured_drops: { sentence: Text; line: Xyz[] }[];
  suspects: Suspect[];
  fitted: Text[]; // what the measurements say of the nodes, sentence by sentence
  comparison: { by: string; sentences: string[]; warnings: string[]; charts: { title: string; svg: string }[] } | null;
  quality: {
    layers: { file: string; what: string; read: number; used: number; set_aside: number; repaired: number; defaulted: number; outside: number }[];
    remarks: { severity: string; where: string; message: string; count: number }[];
  };
  sources: { title: string; models: string[] }[];
  cautions: string[];
  attribution: string[]; // whose data is drawn
}
