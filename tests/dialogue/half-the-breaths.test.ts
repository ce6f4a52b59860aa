/**
 * A morning of our own wood and crew, typed in few breaths of several notes each, in other words than the description's
 * own. Figures by hand: 19 paces in 100 ft, an eye of 5 ft 4 in; basal area 0.005454 d^2 (square feet from inches; from the
 * definition of the square foot), times ten on a tenth of an acre.
 */
import { beforeAll, describe, expect, test } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { createUnderstanding, type Understanding } from '../../grammar/reading/understand.ts';
import type { Session } from '../../shared/dialogue/session.ts';
import { converse } from '../support/conversation.ts';
import { automaton } from '../support/language.ts';

let understand: (words: string) => Understanding;
beforeAll(() => {
  understand = createUnderstanding(automaton, grammar);
});

const pace = 100 / 19;
const eye = 5 + 4 / 12;
/** Tells words as they are typed; gives the reply. */
async function typed(session: Session, words: string): Promise<string> {
  const read = understand(words);
  if (!read.ok) return read.error;
  return (await session.tell({ words, candidates: read.value })).answer.reply;
}

const breaths = [
  'Wren here, nineteen paces in one hundred feet, eye height five foot four',
  'new stand mill lot, okay plot one, tenth acre',
  'got a red maple here, 11.4, ten and a half paces',
  'red oak sixteen two, two logs, thirteen paces',
  'sugar maple fourteen inches, dead',
  'how many trees, and then basal area',
  "that's it for plot one, pt 2 nothing in",
  'mean height',
];

describe('a morning in eight breaths', () => {
  test('comes to the same book as if it were told one by one', async () => {
    const { session } = await converse();
    const replies: string[] = [];
    for (const words of breaths) {
      const read = understand(words);
      if (!read.ok) throw new Error(`${words}: ${read.error}`);
      const told = await session.tell({ words, candidates: read.value });
      expect(told.answer.state, `${words}: ${told.answer.reply}`).toBe('kept');
      replies.push(told.answer.reply);
    }
    const { book } = session;
    expect(session.settings.person).toBe('wren');
    expect(book.treeNumbered(1)?.heightFt).toBeCloseTo(10.5 * pace + eye, 6);
    expect(book.treeNumbered(2)).toMatchObject({ diameterIn: 16.2, logs: 2 });
    expect(book.treeNumbered(2)?.heightFt).toBeCloseTo(13 * pace + eye, 6);
    expect(book.treeNumbered(3)).toMatchObject({ status: 'dead', heightFt: null });
    const alive = 0.005454 * (11.4 ** 2 + 16.2 ** 2) * 10;
    expect(replies[5]).toContain(`${Math.round(alive)} square feet an acre alive`);
    expect(replies[6]).toMatch(/Plot 1 closed: 3 trees\..*Plot 2 is empty\. It counts\./);
    expect(replies[7]).toContain('from 2 trees');
  });
});

describe('a breath of which a part is asked for', () => {
  test('is not kept with the next height: that is no part of it that was missing', async () => {
    const { session } = await converse();
    await typed(session, 'eye height five and a half');
    await typed(session, 'beech twelve');
    expect(
      await typed(session, 'top thirty one degrees base minus twelve at fifty five feet, frindled'),
    ).toMatch(/^I understood .* but not "frindled"/);
    const reply = await typed(session, 'top sixty eight percent base minus five one hundred feet');
    // 100 (0.68 + 0.05) = 73
    expect(reply).toContain('73 feet');
    expect(reply).toContain('Not kept');
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(73, 6);
  });

  test('is kept with the part that is said anew', async () => {
    const { session } = await converse();
    await typed(session, 'eye height five and a half');
    await typed(session, 'beech twelve, frindled, fifty feet away');
    await typed(session, 'two logs');
    expect(session.book.treeNumbered(1)).toMatchObject({ logs: 2, diameterIn: 12 });
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(55.5, 6);
  });
});
