// Speaks with `kerbray serve`: the token of the address goes into a header and out of sight.
import type { Answers, Scene } from '../answers';
import type { Edit, EditedAnswers, FrameHeader, LinkAnswer, SaveAnswer, SurveyAnswer } from '../live';
import { bytesOf, viewed } from '../packed';
import type { Values } from '../packed';
import { GroundAnswer } from '../site';
import type { BandName } from '../site';

export interface MapFrame {
  header: FrameHeader;
  answer: GroundAnswer;
}

/** The program left a question for a newer one. */
export class Overtaken extends Error {}

/** It cannot be answered as it was asked. */
export class Refused extends Error {}

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
    const response = await fetch(`/api/${path}`, asked).catch((error: unknown) => {
      throw signal?.aborted ? error : new Error('kerbray serve does not answer; is it still running?');
    });
    if (!response.ok) {
      const told = (await response.json().catch(() => null)) as { error?: string } | null;
      const why = told?.error ?? `kerbray answered ${response.status} to ${path}`;
      throw response.status === 409 ? new Overtaken(why) : response.status === 400 ? new Refused(why) : new Error(why);
    }
    return response;
  }

  async answers(): Promise<Answers> {
    return (await this.ask('answers')).json() as Promise<Answers>;
  }
  async editedAnswers(edits: Edit[], signal: AbortSignal): Promise<EditedAnswers> {
    return (await this.ask('answers', { edits }, signal)).json() as Promise<EditedAnswers>;
  }
  async scene(edits: Edit[]): Promise<Scene> {
    return (await this.ask('scene', { edits })).json() as Promise<Scene>;
  }
  async link(edits: Edit[], x_m: number, y_m: number, height_agl_m: number): Promise<LinkAnswer> {
    return (await this.ask('link', { edits, x_m, y_m, height_agl_m })).json() as Promise<LinkAnswer>;
  }
  async survey(edits: Edit[], name: string, text: string, signal?: AbortSignal): Promise<SurveyAnswer> {
    return (await this.ask('survey', { edits, name, text }, signal)).json() as Promise<SurveyAnswer>;
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
  private held = new Uint8Array(1 << 16); // its first `length` bytes, with room for more
  private length = 0;
  private frame: { header: FrameHeader; first: number; whole: number } | null = null; // that is coming in

  take(piece: Uint8Array): MapFrame[] {
    if (this.length + piece.length > this.held.length) {
      const wider = new Uint8Array(Math.max(2 * this.held.length, this.length + piece.length, this.frame?.whole ?? 0));
      wider.set(this.held.subarray(0, this.length));
      this.held = wider;
    }
    this.held.set(piece, this.length);
    this.length += piece.length;
    const frames: MapFrame[] = [];
    for (let frame = this.next(); frame; frame = this.next()) frames.push(frame);
    return frames;
  }

  /** A stream may end early, but not within a frame. */
  end(): void {
    if (this.length > 0) throw new Error(`the map's stream ended within a frame (${this.length} bytes left over)`);
  }

  /** The header of the frame that is coming in, and how long it all is. */
  private begun(): { header: FrameHeader; first: number; whole: number } | null {
    if (this.frame || this.length < 4) return this.frame;
    const first = 4 + new DataView(this.held.buffer).getUint32(0, true);
    if (this.length < first) return null;
    const header = JSON.parse(new TextDecoder().decode(this.held.subarray(4, first))) as FrameHeader;
    const whole = header.bands.reduce((sum, b) => sum + padded(b.count * bytesOf(b.type)), first);
    return (this.frame = { header, first, whole });
  }

  private next(): MapFrame | null {
    const begun = this.begun();
    if (!begun || this.length < begun.whole) return null;
    const { header, first, whole } = begun;
    const bands: Partial<Record<BandName, Values>> = {};
    let at = first;
    for (const band of header.bands) {
      const size = band.count * bytesOf(band.type);
      const bytes = this.held.slice(at, at + size); // copied: an array must start on its own boundary
      bands[band.name as BandName] = viewed(band.type, bytes.buffer, 0, band.count);
      at += padded(size);
    }
    this.held.copyWithin(0, whole, this.length);
    this.length -= whole;
    this.frame = null;
    return { header, answer: new GroundAnswer(header.grid, header.sector_names, header.causes, header.edges, bands) };
  }
}
