// Stands in for `kerbray serve`: speaks tools/viewer/src/live.ts about the invented town, on loopback.
import { createServer } from 'node:http';
import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { inflateSync } from 'node:zlib';
import type { Answers, Bands, GridSpec, Node, Packed } from '../../tools/viewer/src/answers';
import type { Edit, EditedAnswers, FrameHeader, LinkAnswer } from '../../tools/viewer/src/live';
import { nodesAfter } from '../../tools/viewer/src/edit/edits';
import { Ground } from '../../tools/viewer/src/ground';
import { inventedAnswers, inventedLedger } from './invented_answers';
import { edgesOf, inventedBands, inventedRun, InventedPhysics } from './invented_prediction';
import { groundAt, inventedScene } from './invented_town';

const size = { seed: 8, buildings: 90, half_m: 160, step_m: 4, points: 6, live: true };
const types: Record<string, string> = { html: 'text/html; charset=utf-8', js: 'text/javascript', css: 'text/css' };

export interface FakeServer {
  address: string;
  heard: { path: string; edits: Edit[]; body: Record<string, unknown> }[];
  refused: number; // questions without the token
  overtaken: number; // so many questions for answers are left for a newer one
  scene_ms: number; // that a scene takes
  close: () => void;
}

/** A band in the open: its values as bytes, padded to four. */
function bytesOf(packed: Packed): Buffer {
  const raw = inflateSync(Buffer.from(packed.data, 'base64'));
  return Buffer.concat([raw, Buffer.alloc((4 - (raw.length % 4)) % 4)]);
}

function frameOf(grid: GridSpec, node: Node, physics: InventedPhysics, stage: number, final: boolean): Buffer {
  const { bands, hold } = inventedBands(physics, grid);
  const names = Object.keys(bands) as (keyof Bands)[];
  const header: FrameHeader = {
    stage, ledger_step_m: final ? grid.step_m : 16, final, ms: 12 * stage, grid,
    sector_names: node.sectors.map((s) => `${node.id}/${s.id}`), causes: ['none', 'distance', 'sector', 'terrain', 'building', 'foliage', 'pole', 'vehicle'],
    bands: names.map((name) => ({ name, type: bands[name].type as 'u8', count: bands[name].count })),
    edges: final ? edgesOf(grid, hold) : [],
  };
  const text = Buffer.from(JSON.stringify(header));
  const length = Buffer.alloc(4);
  length.writeUInt32LE(text.length);
  return Buffer.concat([length, text, ...names.map((name) => bytesOf(bands[name]))]);
}

async function bodyOf(request: IncomingMessage): Promise<Record<string, unknown>> {
  let text = '';
  for await (const piece of request) text += String(piece);
  return text ? (JSON.parse(text) as Record<string, unknown>) : {};
}

/** `nodes` = false: nobody knows where the nodes are, so nothing is predicted. */
export async function fakeServer(pageFolder: string, token: string, nodes = true): Promise<FakeServer> {
  const answers: Answers = inventedAnswers(size);
  if (!nodes) {
    answers.prediction = null;
    answers.scene.nodes = [];
    for (const point of answers.points) Object.assign(point, { ledger: null, distance_m: null, thing: -1 });
  }
  const ground = new Ground(null, null);
  ground.near = groundAt;
  const server: FakeServer = { address: '', heard: [], refused: 0, overtaken: 0, scene_ms: 0, close: () => http.close() };
  const physicsAfter = (edits: Edit[]): { node: Node; physics: InventedPhysics } => {
    const node = nodesAfter(answers.scene.nodes, edits, ground)[0]!;
    return { node, physics: new InventedPhysics(answers.scene, size.half_m, node.position, node.sectors.map((s) => s.azimuth_deg)) };
  };

  async function answer(path: string, request: IncomingMessage, response: ServerResponse): Promise<void> {
    const send = (value: unknown, status = 200): void => {
      response.writeHead(status, { 'Content-Type': 'application/json' });
      response.end(JSON.stringify(value));
    };
    if (request.headers['kerbray-token'] !== token) {
      server.refused += 1;
      return send({ error: 'no token' }, 403);
    }
    const body = await bodyOf(request);
    const edits = (body['edits'] ?? []) as Edit[];
    server.heard.push({ path, edits, body });
    if (path === 'answers' && request.method === 'GET') return send(answers);
    if (path === 'answers') {
      if (server.overtaken > 0) {
        server.overtaken -= 1;
        return send({ error: 'a newer question came' }, 409);
      }
      const { verdicts, about, sources, points, measured_drops, suspects } = answers;
      const told: EditedAnswers = {
        verdicts: [{ kind: 'holds', text: { metric: `Holds after ${edits.length}.`, imperial: `Holds after ${edits.length}.` }, place: null }, ...verdicts.slice(1)],
        about, sources, points, measured_drops, suspects, drops: [], runs: [],
      };
      if (nodes) told.runs = [inventedRun(physicsAfter(edits).physics, 'Alder Row', 62, size.half_m)];
      return send(told);
    }
    if (path === 'scene') {
      const scene = inventedScene(size);
      const gone = new Set(edits.flatMap((e) => (e.do === 'remove' ? [e.source] : [])));
      scene.things.forEach((t) => { if (gone.has(t.source)) t.triangles = 0; });
      scene.nodes = nodes ? scene.nodes : [];
      await new Promise((done) => setTimeout(done, server.scene_ms));
      return send(scene);
    }
    if (path === 'link') {
      const { node, physics } = physicsAfter(edits);
      const [x, y] = [Number(body['x_m']), Number(body['y_m'])];
      const spot = physics.at(x, y);
      const told: LinkAnswer = {
        ledger: spot ? inventedLedger(spot, 'asked', node.position, [x, y, groundAt(x, y) + 1.5], 28) : null,
        sentence: { metric: 'Asked of the server.', imperial: 'Asked of the server.' },
      };
      return send(told);
    }
    if (path === 'map' && !nodes) {
      const header: FrameHeader = { stage: 1, ledger_step_m: 4, final: true, ms: 1, grid: { x0_m: 0, y0_m: 0, step_m: 4, columns: 0, rows: 0 }, sector_names: [], causes: [], bands: [], edges: [] };
      const text = Buffer.from(JSON.stringify(header));
      const length = Buffer.alloc(4);
      length.writeUInt32LE(text.length);
      response.writeHead(200, { 'Content-Type': 'application/octet-stream' });
      return void response.end(Buffer.concat([length, text]));
    }
    if (path === 'map') {
      const { node, physics } = physicsAfter(edits);
      response.writeHead(200, { 'Content-Type': 'application/octet-stream' });
      const { grid } = answers.prediction!;
      const first = frameOf(grid, node, physics, 1, false);
      response.write(first.subarray(0, 1000)); // in pieces that do not respect the frames
      response.write(first.subarray(1000));
      await new Promise((done) => setTimeout(done, 30));
      if (!response.destroyed) response.end(frameOf(grid, node, physics, 2, true));
      return;
    }
    if (path === 'survey') {
      if (!String(body['text']).startsWith('lon,lat')) return send({ error: 'no column lon' }, 400);
      const point = { ...answers.points[0]!, id: 'S1', survey: String(body['name']) };
      return send({ points: [point], suspects: [], remarks: ['1 row read.'] });
    }
    if (path === 'save') {
      if (!/^[\w-]{1,64}$/.test(String(body['name']))) return send({ error: 'name: must be 1 to 64 letters, digits, _ or -' }, 400);
      return send({ file: `${String(body['name'])}.toml`, things: null });
    }
    send({ error: 'no such question' }, 404);
  }

  const http: Server = createServer((request, response) => {
    const path = new URL(request.url ?? '/', 'http://localhost').pathname;
    if (path.startsWith('/api/')) return void answer(path.slice(5), request, response).catch((error: unknown) => response.destroy(error as Error));
    const name = path === '/' ? 'index.html' : path.slice(1);
    if (!/^[\w.]+$/.test(name)) return void response.writeHead(404).end();
    try {
      const file = readFileSync(join(pageFolder, 'live', name));
      response.writeHead(200, { 'Content-Type': types[name.split('.').at(-1) ?? ''] ?? 'application/octet-stream' });
      response.end(file);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise<void>((ready) => http.listen(0, '127.0.0.1', ready));
  const where = http.address();
  server.address = `http://127.0.0.1:${typeof where === 'object' && where ? where.port : 0}/?token=${token}`;
  return server;
}
