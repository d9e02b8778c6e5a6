// Asks for the map of the site as edited, and drops an old question for a newer one. While a hand keeps moving,
// the first coarse frame of a question is always waited for, or nothing would be seen until it rests.
import type { Edit } from '../live';
import type { Client, MapFrame } from './client';

export class MapFeed {
  private asking: AbortController | null = null;
  private seen = false; // a frame of the question that is out
  private next: Edit[] | null = null;

  constructor(
    private readonly client: Pick<Client, 'map'>,
    private readonly show: (frame: MapFrame) => void,
    private readonly failed: (error: unknown) => void,
  ) {}

  ask(edits: Edit[]): void {
    this.next = edits;
    if (!this.asking) void this.run();
    else if (this.seen) this.asking.abort();
  }

  private async run(): Promise<void> {
    while (this.next) {
      const edits = this.next;
      this.next = null;
      const control = new AbortController();
      this.asking = control;
      this.seen = false;
      try {
        await this.client.map(edits, control.signal, (frame) => {
          if (control.signal.aborted) return;
          this.seen = true;
          this.show(frame);
          if (this.next) control.abort();
        });
      } catch (error) {
        if (!control.signal.aborted) this.failed(error);
      }
    }
    this.asking = null;
  }
}
