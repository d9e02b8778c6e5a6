// What the ground shows, as one byte a cell and a table of 256 colours and hatches; the legend, the
// shader and the static map all read the same table.
import type { GroundAnswer, BandName } from '../site';
import { bandValue } from '../site';
import type { GroundShows } from '../shown';
import { causeLooks, cividis, hatches, holdHatch, lightAndShadow, parseColour, sightLooks } from '../ramps';
import type { Hatch, Rgb } from '../ramps';
import { causeWord, sightWords } from '../words';

export const noCode = 255;

export interface GroundPaint {
  codes: Uint8Array; // 255 = nothing to show
  colours: Uint8Array; // 256 x (r, g, b, hatch index)
  smooth: boolean; // between the cells
  legend: { title: string; ramp: { from: string; to: string } | null; entries: { colour: Rgb; hatch: Hatch; words: string }[] };
}

/** Fixed ends, so that two reports compare. */
const levelEnds = { low: -120, high: -60 };
const rateEnds = { low: 0, high: 2000 };

function table(colourOf: (t: number) => Rgb, hatchOf: (t: number) => Hatch): Uint8Array {
  const colours = new Uint8Array(256 * 4);
  for (let code = 0; code < 255; code++) {
    const t = Math.min(1, code / 200);
    colours.set([...colourOf(t), hatches.indexOf(hatchOf(t))], code * 4);
  }
  return colours;
}

/** Over wide ground the classes' colours are paler than on a point, so that lines and signs stay readable. */
function pale(hex: string): Rgb {
  const paper: Rgb = [247, 241, 226];
  return parseColour(hex).map((v, k) => Math.round(0.7 * v + 0.3 * paper[k]!)) as Rgb;
}

function classes(looks: Record<string, { colour: string; hatch: Hatch }>, names: string[]): Uint8Array {
  const colours = new Uint8Array(256 * 4);
  names.forEach((name, code) => {
    const look = looks[name] ?? looks['none']!;
    colours.set([...pale(look.colour), hatches.indexOf(look.hatch)], code * 4);
  });
  return colours;
}

async function scaled(answer: GroundAnswer, band: BandName, low: number, high: number): Promise<Uint8Array> {
  const values = await answer.band(band);
  const codes = new Uint8Array(values.length);
  for (let i = 0; i < values.length; i++) {
    const v = bandValue(band, values[i]!);
    codes[i] = Number.isNaN(v) ? noCode : Math.round(200 * Math.min(1, Math.max(0, (v - low) / (high - low))));
  }
  return codes;
}

/** A class band, without the places that have no answer. */
async function classed(answer: GroundAnswer, band: 'sight' | 'cause'): Promise<Uint8Array> {
  const [values, hold] = await Promise.all([answer.band(band), answer.band('p_hold')]);
  const codes = new Uint8Array(values.length);
  for (let i = 0; i < values.length; i++) codes[i] = hold[i] === 255 ? noCode : values[i]!;
  return codes;
}

export async function groundPaint(answer: GroundAnswer, shows: GroundShows): Promise<GroundPaint> {
  const entry = (t: number, colourOf: (t: number) => Rgb, hatch: Hatch, words: string) => ({ colour: colourOf(t), hatch, words });
  switch (shows) {
    case 'rsrp':
      return {
        codes: await scaled(answer, 'rsrp_dbm', levelEnds.low, levelEnds.high), colours: table(cividis, () => 'plain'), smooth: true,
        legend: {
          title: 'Signal level (SS-RSRP), dBm', ramp: { from: `${levelEnds.low}`.replace('-', '−'), to: `${levelEnds.high}`.replace('-', '−') },
          entries: [0, 0.25, 0.5, 0.75, 1].map((t) => entry(t, cividis, 'plain', `${levelEnds.low + t * 60}`.replace('-', '−'))),
        },
      };
    case 'downlink':
      return {
        codes: await scaled(answer, 'downlink_mbps', rateEnds.low, rateEnds.high), colours: table(cividis, () => 'plain'), smooth: true,
        legend: {
          title: 'Downlink rate, Mbit/s', ramp: { from: '0', to: '2000 and more' },
          entries: [0, 0.25, 0.5, 0.75, 1].map((t) => entry(t, cividis, 'plain', `${t * 2000}`)),
        },
      };
    case 'sight': {
      const names = ['none', 'los', 'olos', 'nlos'];
      return {
        codes: await classed(answer, 'sight'), colours: classes(sightLooks, names), smooth: false,
        legend: {
          title: 'Sight of the node', ramp: null,
          entries: names.slice(1).map((n) => ({ colour: pale(sightLooks[n]!.colour), hatch: sightLooks[n]!.hatch, words: sightWords[n]! })),
        },
      };
    }
    case 'cause': {
      const codes = await classed(answer, 'cause');
      const met = new Set(codes);
      return {
        codes, colours: classes(causeLooks, answer.causes), smooth: false,
        legend: {
          title: 'What costs most', ramp: null,
          entries: answer.causes.flatMap((name, code) => {
            const look = causeLooks[name];
            return met.has(code) && look ? [{ colour: pale(look.colour), hatch: look.hatch, words: name === 'none' ? 'nothing' : causeWord(name) }] : [];
          }),
        },
      };
    }
    case 'nothing':
      return {
        codes: new Uint8Array(answer.grid.columns * answer.grid.rows).fill(noCode), colours: new Uint8Array(1024), smooth: false,
        legend: { title: 'Bare ground', ramp: null, entries: [] },
      };
    default:
      return {
        codes: (await answer.band('p_hold')) as Uint8Array, colours: table(lightAndShadow, holdHatch), smooth: true,
        legend: {
          title: 'Where the link should hold', ramp: null,
          entries: [
            entry(0.97, lightAndShadow, 'plain', 'holds (9 times in 10 or more)'),
            entry(0.7, lightAndShadow, 'sparse', 'more often than not'),
            entry(0.3, lightAndShadow, 'slant', 'now and then'),
            entry(0.03, lightAndShadow, 'cross', 'drops (1 time in 10 or less)'),
          ],
        },
      };
  }
}
