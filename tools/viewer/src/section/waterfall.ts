// A ledger as it is read: from what the node radiates down to what the phone hears, a step per line.
import type { Ledger } from '../answers';

export interface Step {
  name: string;
  change_db: number; // of the level; the first is the level itself
  low_db?: number; // of the loss, where it is a band
  high_db?: number;
  model: string;
  source: string;
  thing: number;
  cause: string;
  in_range: boolean;
}

export function stepsOf(ledger: Ledger): Step[] {
  const steps: Step[] = [];
  const add = (name: string, change_db: number, model: string, source: string, more: Partial<Step> = {}): void => {
    steps.push({ name, change_db, model, source, thing: -1, cause: '', in_range: true, ...more });
  };
  add('Radiated at the beam’s peak', ledger.eirp_dbm, 'EIRP', 'the site file, or its default');
  add('Off the beam’s peak', ledger.pattern_db, 'sector antenna', 'TR 38.901 7.3');
  for (const term of ledger.terms) {
    const more: Partial<Step> = { thing: term.thing, cause: term.cause, in_range: term.in_range };
    if (term.low_db !== undefined) more.low_db = term.low_db;
    if (term.high_db !== undefined) more.high_db = term.high_db;
    add(termName(term.group, term.model), -term.loss_db, term.model, term.source, more);
  }
  if (Math.abs(ledger.reflection_gain_db) > 0.005) add('Reflections add', ledger.reflection_gain_db, 'images, in power', 'ITU-R P.2040');
  // The gain is of the phone as it is held; what the turning costs is shown on its own.
  add('The phone’s antenna', ledger.receiver_gain_db + ledger.turned_away_db, 'receiver gain', 'the site file, or its default');
  if (ledger.turned_away_db > 0.005) add('Turned away from the node', -ledger.turned_away_db, 'receiver pattern', 'the site file, or its default');
  if (Math.abs(ledger.per_element_db) > 0.005) add('Per resource element', ledger.per_element_db, 'share of the carrier', 'TS 38.215 5.1.1');
  if (Math.abs(ledger.broadcast_db) > 0.005) add('Broadcast beam over data beam', ledger.broadcast_db, 'wider beam', 'beam codebook');
  const rest = ledger.rsrp_dbm - steps.reduce((sum, s) => sum + s.change_db, 0);
  if (Math.abs(rest) > 0.05) add('Not itemised here', rest, 'what the lines above leave', '');
  return steps;
}

function termName(group: Ledger['terms'][number]['group'], model: string): string {
  switch (group) {
    case 'free_space':
      return 'Distance';
    case 'diffraction':
      return 'Round what is in the way';
    case 'foliage':
      return 'Through leaves';
    case 'penetration':
      return 'Into where the phone is';
    case 'gas_rain':
      return /rain/i.test(model) ? 'Rain' : 'Air';
  }
}
