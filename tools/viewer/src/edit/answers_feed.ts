// Asks for the words, plots and tables of the site as edited, once its map is whole; drops an old question for a newer one.
import type { Answers } from '../answers';
import type { Edit, EditedAnswers, SurveyAnswer } from '../live';
import { Overtaken } from './client';
import type { Client } from './client';

/** A survey that was dropped on the page. */
export interface Dropped {
  name: string;
  text: string;
}

/** The document with what the edits change. */
export function editedDocument(first: Answers, edited: EditedAnswers): Answers {
  const { drops, runs, ...rest } = edited;
  return { ...first, ...rest, prediction: first.prediction && { ...first.prediction, drops, runs } };
}

/** The document with a dropped survey's points behind its own. */
export function withSurvey(answers: Answers, survey: SurveyAnswer): Answers {
  const before = answers.points.length;
  const suspects = survey.suspects.map((s) => ({ ...s, points: s.points.map((i) => i + before) }));
  return { ...answers, points: [...answers.points, ...survey.points], suspects: [...answers.suspects, ...suspects] };
}

const rest_ms = 350; // a hand that only pauses
const again_ms = 1500; // where another window of the live view asks too

const pause = (ms: number): Promise<void> => new Promise((done) => setTimeout(done, ms));

export class AnswersFeed {
  private asking: AbortController | null = null;
  private of = ''; // the edits that are asked about, as text

  constructor(
    private readonly client: Pick<Client, 'editedAnswers' | 'survey'>,
    private readonly first: Answers, // of the site without edits
    private readonly surveys: () => Dropped[],
    private readonly told: (edits: Edit[], answers: Answers) => void,
    private readonly failed: (message: string) => void,
  ) {}

  cancel(): void {
    this.asking?.abort();
    this.asking = null;
  }

  async ask(edits: Edit[]): Promise<void> {
    if (this.asking && this.of === JSON.stringify(edits)) return;
    this.cancel();
    const control = new AbortController();
    this.asking = control;
    this.of = JSON.stringify(edits);
    await this.answer(edits, control.signal);
    if (this.asking === control) this.asking = null;
  }

  private async answer(edits: Edit[], signal: AbortSignal): Promise<void> {
    await pause(rest_ms);
    while (!signal.aborted) {
      try {
        let answers = edits.length ? editedDocument(this.first, await this.client.editedAnswers(edits, signal)) : this.first;
        for (const { name, text } of this.surveys()) answers = withSurvey(answers, await this.client.survey(edits, name, text, signal));
        if (!signal.aborted) this.told(edits, answers);
        return;
      } catch (error) {
        if (signal.aborted) return;
        if (!(error instanceof Overtaken)) return this.failed(error instanceof Error ? error.message : String(error));
        await pause(again_ms);
      }
    }
  }
}
