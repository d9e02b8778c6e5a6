// What the reader chose to see, and who wants to know when it changes.
import type { Units } from './units';

export type Place = { kind: 'point'; index: number } | { kind: 'spot'; x: number; y: number };
export type GroundShows = 'hold' | 'rsrp' | 'downlink' | 'sight' | 'cause' | 'nothing';
export type Theme = 'auto' | 'light' | 'dark' | 'sunlight';

export interface Choices {
  units: Units;
  theme: Theme;
  view: 'map' | 'street' | 'eye';
  ground: GroundShows;
  place: Place | null;
  run: number; // index in the prediction's runs
}

export class Shown {
  private readonly listeners = new Map<keyof Choices, (() => void)[]>();
  constructor(private readonly choices: Choices) {}

  get<K extends keyof Choices>(key: K): Choices[K] {
    return this.choices[key];
  }

  set<K extends keyof Choices>(key: K, value: Choices[K]): void {
    if (this.choices[key] === value) return;
    this.choices[key] = value;
    this.tell(key);
  }

  on(keys: keyof Choices | (keyof Choices)[], listener: () => void): void {
    for (const key of Array.isArray(keys) ? keys : [keys]) {
      this.listeners.set(key, [...(this.listeners.get(key) ?? []), listener]);
    }
  }

  /** Also when the same choice means something else now: a point was explained anew. */
  tell(key: keyof Choices): void {
    for (const listener of this.listeners.get(key) ?? []) listener();
  }
}
