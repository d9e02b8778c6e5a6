// Speaks with `kerbray serve`: the token of the address goes into a header and out of sight.
import type { Answers, Scene } from '../answers';
import type { Edit, FrameHeader, LinkAnswer, SaveAnswer, SurveyAnswer } from '../live';
import { bytesOf, viewed } from '../packed';
import type { Values } from '../packed';
import { GroundAnswer } from '../site';
import type { BandName } from '../site';

export interface MapFrame {
  header: FrameHeader;
  answer: GroundAnswer;
}

export class Client {
  constructor(private readonly token: string) {}

  static fromAddress(): Client {
    const address = new URL(window.location.href);
    const token = address.searchParams.get('token') ?? sessionStorage.getItem('kerbray-token') ?? '';
    if (address.searchParams.has('token')) {
      address.searchParams.delete('token');
      history.replaceState(null, '', address);
      sessionStorage.setItem('kerbray-token', token); // so that a reload still works
    }
    return new Client(token);
  }

  private async ask(path: string, body?: unknown, signal?: AbortSignal): Promise<Response> {
    const asked: RequestInit = { headers: { 'Kerbray-Token': this.token, 'Content-Type': 'application/json' } };
    if (body !== undefined) Object.assign(asked, { method: 'POST', body: JSON.stringify(body) });
    if (signal) asked.signal = signal;
    const response = await fetch(`/api/${path}`, asked);
    if (!response.ok) {
      const told = (await response.json().catch(() => null)) as { error?: string } | null;
      throw new Error(told?.error ?? `kerbray answered ${response.status} to ${path}`);
    }
    return response;
  }

  async answers(): Promise<Answers> {
    return (await this.ask('answers')).json() as Promise<Answers>;
  }
  async scene(edits: Edit[]): Promise<Scene> {
    return (await this.ask('scene', { edits })).json() as Promise<Scene>;
  }
  async link(edits: Edit[], x_m: number, y_m: number, height_agl_m: number): Promise<LinkAnswer> {
    return (await this.ask('link', { edits, x_m, y_m, height_agl_m })).json() as Promise<LinkAnswer>;
  }
  async survey(edits: Edit[], name: string, text: string): Promise<SurveyAnswer> {
    return (await this.ask('survey', { edits, name, text })).json() as Promise<SurveyAnswer>;
  }
  async save(edits: Edit[], name: string): Promise<SaveAnswer> {
    return (await this.ask('save', { edits, name })).json() as Promise<SaveAnswer>;
  }

  /** The map as it gets finer; ends early when the signal says so. */
  async map(edits: Edit[], signal: AbortSignal, heard: (frame: MapFrame) => void): Promise<void> {
    const response = await this.ask('map', { edits }, signal);
    const reader = response.body?.getReader();
    if (!reader) throw new Error('kerbray sent a map without a body');
    const frames = new FrameReader();
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      for (const frame of frames.take(value)) heard(frame);
    }
    frames.end();
  }
}

const padded = (bytes: number): number => Math.ceil(bytes / 4) * 4;

/** Puts the stream's pieces together into frames. */
export class FrameReader {
  private held = new Uint8Array(0);

  take(piece: Uint8Array): MapFrame[] {
    const joined = new Uint8Array(this.held.length + piece.length);
    joined.set(this.held);
    joined.set(piece, this.held.length);
    this.held = joined;
    const frames: MapFrame[] = [];
    for (let frame = this.next(); frame; frame = this.next()) frames.push(frame);
    return frames;
  }

  /** A stream may end early, but not within a frame. */
  end(): void {
    if (this.held.length > 0) throw new Error(`the map's stream ended within a frame (${this.held.length} bytes left over)`);
  }

  private next(): MapFrame | null {
    if (this.held.length < 4) return null;
    const headerBytes = new DataView(this.held.buffer, this.held.byteOffset).getUint32(0, true);
    if (this.held.length < 4 + headerBytes) return null;
    const header = JSON.parse(new TextDecoder().decode(this.held.subarray(4, 4 + headerBytes))) as FrameHeader;
    const sizes = header.bands.map((b) => b.count * bytesOf(b.type));
    const whole = 4 + headerBytes + sizes.reduce((sum, s) => sum + padded(s), 0);
    if (this.held.length < whole) return null;
    const bands: Partial<Record<BandName, Values>> = {};
    let at = 4 + headerBytes;
    header.bands.forEach((band, i) => {
      const bytes = this.held.slice(at, at + sizes[i]!); // copied: an array must start on its own boundary
      bands[band.name as BandName] = viewed(band.type, bytes.buffer, 0, band.count);
      at += padded(sizes[i]!);
    });
    this.held = this.held.slice(whole);
    return { header, answer: new GroundAnswer(header.grid, header.sector_names, header.causes, header.edges, bands) };
  }
}
