/** Tries one note out: in a book of its own that was begun with a made-up wood and is forgotten at once. */

import { Session } from '../../shared/dialogue/session.ts';
import type { Told } from '../../shared/dialogue/types.ts';
import { deviceId, MemoryJournal } from '../../shared/note/journal.ts';
import { freshPageId } from '../journal/identity.ts';
import type { PageLanguage } from './language.ts';

/** What was said before, so that an example finds a pace, an eye, a plot and a tree to be about. */
const before = [
  'my pace is five point two feet',
  'eye height five foot four',
  'stand mill lot, ten acres',
  'plot one, tenth acre',
  'red maple eleven point four inches',
  'ten paces',
  'red oak sixteen inches, two logs',
  'thirteen paces',
  'sugar maple fourteen inches',
] as const;
/** And before an answer: something that is asked. */
const asked = ['white pine twelve inches', 'sixty paces'] as const;

/**
 * Answers `words` as a book would that has a little of everything; nothing of it is kept anywhere. `answering`: after
 * something was asked.
 *
 * @example
 * (await tryOut(language, 'eight paces')).answer.reply // '47 feet, give or take 2.'
 */
export async function tryOut(language: PageLanguage, words: string, answering = false): Promise<Told> {
  const journal = new MemoryJournal();
  const session = await Session.open(journal, language.tongue, {
    device: deviceId('practice'),
    now: Date.now,
    id: freshPageId,
  });
  const tell = async (said: string): Promise<Told> => {
    const read = await language.read(said, session.before);
    return session.tell({
      words: said,
      candidates: read.ok ? read.value : [],
      ...(read.ok ? {} : { refusal: read.error }),
    });
  };
  for (const said of answering ? [...before, ...asked] : before) await tell(said);
  const told = await tell(words);
  await journal.close();
  return told;
}
