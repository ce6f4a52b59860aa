/** Questions that are asked of a book without being kept: by the screens, the report and the server. */
import type { NoteOf } from '../note/note.ts';
import type { QuestionTopic } from '../note/question-topics.ts';
import { answerAsk } from './asking.ts';
import type { Session } from './session.ts';

/** What is said first, and what stands behind it. */
interface Asked {
  readonly reply: string;
  readonly detail: string | null;
}

/** Answers a question on the book without keeping that it was asked. */
export function askBook(session: Session, note: NoteOf<'ask'>): Asked {
  const { book, settings, view } = session;
  const outcome = answerAsk(view, note);
  return { reply: outcome.say(book, settings), detail: outcome.detail?.(book) ?? null };
}

/** What "totals" and the report answer on the whole book, in the order in which it is said. */
const totalTopics: readonly QuestionTopic[] = [
  'trees',
  'plots',
  'basalArea',
  'density',
  'volumePerAcre',
  'biomass',
  'carbon',
  'meanHeight',
  'lorey',
  'quadraticDiameter',
];

/** The usual questions on the whole book, each with its answer. */
export const askTotals = (session: Session): (Asked & { readonly about: QuestionTopic })[] =>
  totalTopics.map((about) => ({ about, ...askBook(session, { kind: 'ask', about }) }));
