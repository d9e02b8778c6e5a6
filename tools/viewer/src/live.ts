// What the live view says to `kerbray serve` and hears back. All under /api, with the token of the
// address in the header `Kerbray-Token`. The page keeps the list of edits (so undo is the page's
// own); every question carries the whole list, and the server answers it for the site as edited.
import type { Answers, Drop, Ledger, Point, StreetRun, Suspect, Text, Xy } from './answers';

export type Edit =
  | { do: 'move_node'; node: number; x_m: number; y_m: number }
  | { do: 'raise_node'; node: number; height_agl_m: number }
  | { do: 'turn_sector'; node: number; sector: number; azimuth_deg: number; downtilt_deg: number }
  | {
      do: 'add';
      what: 'car' | 'van' | 'lorry' | 'bus' | 'tree' | 'pole';
      x_m: number;
      y_m: number;
      heading_deg: number;
      height_m: number | null; // null = the usual one
    }
  | { do: 'remove'; source: string } // Thing.source
  | { do: 'unadd'; add: number } // takes away what the add-th `add` of the list put there
  | { do: 'leaf_on'; on: boolean }
  | { do: 'rain'; mm_per_h: number };

/** GET /api/answers → Answers, live: true, of the site without edits. */
/**
 * POST /api/answers {edits} → what of them the edits change, but for the map. Worked out from scratch, so it takes
 * a while; a question with other edits ends it with 409, as it ends a survey's.
 */
export interface EditedAnswers extends Pick<Answers, 'verdicts' | 'about' | 'sources' | 'points' | 'measured_drops' | 'suspects'> {
  drops: Drop[];
  runs: StreetRun[];
}

/** POST /api/scene {edits} → Scene as JSON: asked again after add, remove, unadd. */
/**
 * POST /api/map {edits} → a stream of frames, coarse to fine, ended early when the page hangs up.
 * A frame: u32 little-endian length of its header, the header as JSON, then the bands' bytes in
 * order, not compressed, each padded to a multiple of 4 bytes.
 */
export interface FrameHeader {
  stage: number; // from 1
  ledger_step_m: number; // ledgers were computed at every this many metres; between them the level is carried over
  final: boolean; // ledger_step_m is the grid's own
  ms: number; // since the question came in
  grid: import('./answers').GridSpec;
  sector_names: string[];
  causes: string[];
  bands: { name: string; type: 'u8' | 'u16' | 'i16' | 'u32'; count: number }[]; // names and codes of Bands
  edges: { p_hold: number; lines: Xy[][] }[]; // of the final frame
}

/** POST /api/link {edits, x_m, y_m, height_agl_m, node?, sector?} → the best link there, or of the sector named. */
export interface LinkAnswer {
  ledger: Ledger | null; // null: no node within reach, or off the ground
  sentence: Text;
}

/** POST /api/survey {name, text} (CSV) {edits} → its rows explained. An error is {error: text}, 400. */
export interface SurveyAnswer {
  points: Point[];
  suspects: Suspect[];
  remarks: string[];
}

/** POST /api/save {edits, name} → a new site file beside the old one, never over another. */
export interface SaveAnswer {
  file: string;
  things: string | null; // the file of what was added
}
