// The page's own arithmetic: numbers out of the document, colours, units, ledgers, the list of changes.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { editedDocument, withSurvey } from '../../tools/viewer/src/edit/answers_feed';
import { additionOf, EditList, inWords, nodesAfter } from '../../tools/viewer/src/edit/edits';
import { FrameReader } from '../../tools/viewer/src/edit/client';
import { Ground } from '../../tools/viewer/src/ground';
import { unpacked } from '../../tools/viewer/src/packed';
import { cividis, fromOklab, holdHatch, lightAndShadow } from '../../tools/viewer/src/ramps';
import type { Rgb } from '../../tools/viewer/src/ramps';
import { stepsOf } from '../../tools/viewer/src/section/waterfall';
import { bandValue, GroundAnswer } from '../../tools/viewer/src/site';
import { length, roundLength, signed } from '../../tools/viewer/src/units';
import { inventedAnswers } from './invented_answers';
import { packed, seeded } from './invented_town';

const small = { seed: 3, buildings: 40, half_m: 90, step_m: 6, points: 5 };

test('packed numbers come back as zlib wrote them', async () => {
  const random = seeded(1);
  const values = Float32Array.from({ length: 1000 }, () => random() * 100 - 50);
  assert.deepEqual(await unpacked(packed(values)), values);
  assert.deepEqual(await unpacked(packed(new Int16Array([-32768, 0, 32767]))), new Int16Array([-32768, 0, 32767]));
  await assert.rejects(unpacked({ ...packed(values), count: 999 }), /4000 bytes where 999/);
});

test('missing codes are no numbers', () => {
  assert.equal(bandValue('p_hold', 180), 0.9);
  assert.ok(Number.isNaN(bandValue('p_hold', 255)));
  assert.equal(bandValue('rsrp_dbm', -4750), -95);
  assert.ok(Number.isNaN(bandValue('rsrp_dbm', -32768)));
  assert.equal(bandValue('uplink_mbps', 405), 40.5);
  assert.ok(Number.isNaN(bandValue('downlink_mbps', 65535)));
});

test('cividis is the published ramp', () => {
  // Rows 0, 63, 127, 191 and 255 of the table of Nunez, Anderson and Renslow (PLOS ONE 13(7), 2018), as
  // matplotlib ships it. The page keeps every 17th row, so between them 2 steps of 255 are allowed.
  const rows: [number, Rgb][] = [
    [0, [0, 0.135112, 0.304751]], [63, [0.25974, 0.30512, 0.42281]], [127, [0.488697, 0.485318, 0.471008]],
    [191, [0.732422, 0.677364, 0.425717]], [255, [0.995737, 0.909344, 0.217772]],
  ];
  for (const [row, wanted] of rows) {
    cividis(row / 255).forEach((v, k) => assert.ok(Math.abs(v - 255 * wanted[k]!) <= 2, `row ${row}: ${v} for ${255 * wanted[k]!}`));
  }
});

test('OKLab gives the colours of its definition', () => {
  // White and black by construction; red from B. Ottosson's article: L 0.628, a 0.225, b 0.126 (from memory).
  assert.deepEqual(fromOklab(1, 0, 0), [255, 255, 255]);
  assert.deepEqual(fromOklab(0, 0, 0), [0, 0, 0]);
  const [r, g, b] = fromOklab(0.62796, 0.22486, 0.12585);
  assert.ok(r >= 254 && g <= 3 && b <= 3, `${r} ${g} ${b}`);
});

/** CIE lightness of a colour: IEC 61966-2-1 for the transfer, CIE 1976 for L*. */
function lightness(rgb: readonly number[]): number {
  const [r, g, b] = rgb.map((v) => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4));
  const y = 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
  return y > 0.008856 ? 116 * Math.cbrt(y) - 16 : 903.3 * y;
}

test('light and shadow climb evenly, also for the colour-blind', () => {
  // Machado, Oliveira and Fernandes 2009, severity 1, on linear light (from memory).
  const eyes: Record<string, number[][]> = {
    usual: [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
    protanopia: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    deuteranopia: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
    tritanopia: [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
  };
  const linear = (v: number): number => (v / 255 <= 0.04045 ? v / 255 / 12.92 : ((v / 255 + 0.055) / 1.055) ** 2.4);
  const back = (c: number): number => 255 * (c <= 0.0031308 ? 12.92 * Math.max(0, c) : 1.055 * Math.min(1, c) ** (1 / 2.4) - 0.055);
  for (const [eye, matrix] of Object.entries(eyes)) {
    const seen = Array.from({ length: 11 }, (_, i) => {
      const rgb = lightAndShadow(i / 10).map(linear);
      return lightness(matrix.map((row) => back(row.reduce((sum, m, k) => sum + m * rgb[k]!, 0))));
    });
    const steps = seen.slice(1).map((l, i) => l - seen[i]!);
    assert.ok(Math.min(...steps) > 0.5 * (seen[10]! - seen[0]!) / 10, `${eye}: ${steps.map((s) => s.toFixed(1)).join(' ')}`);
    assert.ok(seen[10]! - seen[0]! > 45, `${eye}: ${seen[0]} to ${seen[10]}`);
  }
});

test('the hatch is denser the less it holds', () => {
  assert.deepEqual([0.95, 0.7, 0.3, 0.05].map(holdHatch), ['plain', 'sparse', 'slant', 'cross']);
});

test('lengths in both units', () => {
  assert.equal(length(235.2, 'metric'), '235 m');
  assert.equal(length(235.2, 'imperial'), '772 ft'); // 235.2 / 0.3048 = 771.65
  assert.equal(length(1.34, 'metric'), '1.3 m');
  assert.equal(length(null, 'metric'), '–');
  assert.equal(signed(-3.21, 1), '−3.2');
  assert.equal(signed(-0.001, 1), '0.0');
  assert.deepEqual([9, 12, 49, 51, 230].map(roundLength), [5, 10, 20, 50, 200]);
});

test('the bars of a ledger add up to the level it states', () => {
  for (const point of inventedAnswers(small).points) {
    const steps = stepsOf(point.ledger!);
    const sum = steps.reduce((s, step) => s + step.change_db, 0);
    assert.ok(Math.abs(sum - point.ledger!.rsrp_dbm) < 1e-9);
    assert.ok(!steps.some((s) => s.name === 'Not itemised here'), JSON.stringify(steps));
  }
  const ledger = { ...inventedAnswers(small).points[0]!.ledger! };
  ledger.rsrp_dbm -= 3;
  assert.equal(stepsOf(ledger).at(-1)!.name, 'Not itemised here');
});

test('changes are undone from the end, and a moving hand makes one', () => {
  const list = new EditList();
  list.add({ do: 'move_node', node: 0, x_m: 1, y_m: 1 });
  list.add({ do: 'move_node', node: 0, x_m: 2, y_m: 2 }, true);
  list.add({ do: 'move_node', node: 1, x_m: 5, y_m: 5 }, true);
  list.add({ do: 'add', what: 'car', x_m: 0, y_m: 0, heading_deg: 0, height_m: null });
  list.add({ do: 'add', what: 'tree', x_m: 9, y_m: 0, heading_deg: 0, height_m: null });
  list.add({ do: 'unadd', add: 0 });
  assert.equal(list.all.length, 5);
  assert.deepEqual(list.additions().map((a) => [a.add, a.edit.what]), [[1, 'tree']]);
  list.undo();
  assert.equal(list.additions().length, 2);
  list.redo();
  assert.equal(list.additions().length, 1);
  list.undo();
  list.add({ do: 'rain', mm_per_h: 20 });
  assert.equal(list.canRedo, false);
  assert.deepEqual(list.weather(), { leafOn: null, mm_per_h: 20 });
  list.undo();
  assert.deepEqual(list.weather(), { leafOn: null, mm_per_h: null });
});

test('an addition is known by its source', () => {
  assert.deepEqual(['added:lorry:3', 'some/where/added:tree:12', 'added.geojson:lorry:3', 'lamps.geojson:lamps:1'].map(additionOf), [3, 12, -1, -1]);
});

test('a change is said in the unit that is shown', () => {
  const { scene } = inventedAnswers(small);
  assert.equal(inWords({ do: 'raise_node', node: 0, height_agl_m: 12 }, scene, 'imperial'), 'N1 at 39 ft');
  assert.equal(inWords({ do: 'raise_node', node: 0, height_agl_m: 9.5 }, scene, 'metric'), 'N1 at 9.5 m');
});

test('a dropped survey stands behind the points that were there', () => {
  const answers = inventedAnswers(small);
  const more = { points: [answers.points[1]!], suspects: [{ ...answers.suspects[0]!, points: [0] }], remarks: [] };
  const both = withSurvey(answers, more);
  assert.equal(both.points.length, 6);
  assert.deepEqual(both.suspects.at(-1)!.points, [5]);
  assert.equal(answers.points.length, 5, 'and the document without it is kept');
  const { verdicts, about, sources, points, measured_drops, suspects } = answers;
  const edited = editedDocument(answers, { verdicts, about, sources, points, measured_drops, suspects, drops: [], runs: [] });
  assert.deepEqual([edited.prediction!.runs, edited.prediction!.grid], [[], answers.prediction!.grid]);
  assert.equal(editedDocument({ ...answers, prediction: null }, { verdicts, about, sources, points, measured_drops, suspects, drops: [], runs: [] }).prediction, null);
});

test('nodes follow the changes', () => {
  const { nodes } = inventedAnswers(small).scene;
  const slope = new Ground({ x0_m: -500, y0_m: -500, step_m: 500, columns: 3, rows: 3 }, new Float32Array([0, 5, 10, 0, 5, 10, 0, 5, 10]));
  const after = nodesAfter(nodes, [
    { do: 'raise_node', node: 0, height_agl_m: 11 },
    { do: 'move_node', node: 0, x_m: 100, y_m: 0 },
    { do: 'turn_sector', node: 0, sector: 1, azimuth_deg: 12, downtilt_deg: 3 },
  ], slope);
  assert.deepEqual(after[0]!.position, [100, 0, 6 + 11]); // a slope of 1 in 100 from 5 m at x = 0
  assert.equal(after[0]!.sectors[1]!.azimuth_deg, 12);
  assert.notEqual(nodes[0]!.sectors[1]!.azimuth_deg, 12);
});

test('ground between cell centres is bilinear, and none outside', () => {
  const ground = new Ground({ x0_m: 0, y0_m: 0, step_m: 10, columns: 2, rows: 2 }, new Float32Array([0, 10, 20, 50]));
  assert.equal(ground.heightAt(5, 5), 20); // the mean of the four
  assert.equal(ground.heightAt(10, 10), 50);
  assert.ok(Number.isNaN(ground.heightAt(-0.1, 5)));
  assert.equal(new Ground(null, null).heightAt(1e6, 0), 0);
});

test('frames of the map arrive in pieces of any size', () => {
  const grid = { x0_m: 0, y0_m: 0, step_m: 2, columns: 3, rows: 1 };
  const frame = (stage: number): Uint8Array => {
    const header = new TextEncoder().encode(JSON.stringify({
      stage, ledger_step_m: 2, final: true, ms: 1, grid, sector_names: ['N/a'], causes: ['none'], edges: [],
      bands: [{ name: 'p_hold', type: 'u8', count: 3 }, { name: 'rsrp_dbm', type: 'i16', count: 3 }],
    }));
    const bytes = new Uint8Array(4 + header.length + 4 + 8);
    new DataView(bytes.buffer).setUint32(0, header.length, true);
    bytes.set(header, 4);
    bytes.set([200, 100, 255], 4 + header.length);
    bytes.set(new Uint8Array(new Int16Array([-4750, -5000, -32768]).buffer), 8 + header.length);
    return bytes;
  };
  const stream = new Uint8Array([...frame(1), ...frame(2)]);
  const whole = new FrameReader().take(stream);
  assert.equal(whole.length, 2);
  const reader = new FrameReader();
  const stages = [...stream].flatMap((byte) => reader.take(new Uint8Array([byte])).map((f) => f.header.stage));
  assert.deepEqual(stages, [1, 2]);
  reader.end();
  const cut = new FrameReader();
  cut.take(stream.subarray(0, 40));
  assert.throws(() => cut.end(), /ended within a frame/);
  return whole[1]!.answer.band('rsrp_dbm').then((v) => assert.deepEqual([...v], [-4750, -5000, -32768]));
});

test('a place finds its cell, rows from the south', () => {
  const answer = new GroundAnswer({ x0_m: 10, y0_m: 20, step_m: 2, columns: 5, rows: 4 }, [], [], [], {});
  assert.equal(answer.cellAt(10.9, 20.9), 0);
  assert.equal(answer.cellAt(12, 22), 6);
  assert.deepEqual(answer.centreOf(6), [12, 22]);
  assert.equal(answer.cellAt(8.9, 20), -1);
});
