/** A question that nobody answers: about a reading it lapses with the next note, and nothing of it follows the talk. */
import { describe, expect, it } from 'vitest';
import type { Told } from '../../shared/dialogue/types.ts';
import type { Notes } from '../../shared/note/note.ts';
import { converse } from '../support/conversation.ts';
import { reader } from '../support/language.ts';
import { understandTyped } from '../support/typed.ts';

const set = ['my pace is five point three feet', 'eye height five and a half feet'];
const notes = (words: string): Notes => {
  const read = reader.read(words);
  if (!read.ok) throw new Error(read.error.message);
  return read.value[0]!.notes;
};

/** A day on which a tree with its height was read in two ways, and asked about. */
async function asked() {
  const conversation = await converse();
  await conversation.say(...set);
  const told = await conversation.session.tell(twoWays);
  return { ...conversation, told };
}

const twoWays = {
  words: 'ok first tree is a red oak, sixteen inches through, and the stick just covered it at 24 paces',
  candidates: ['twenty four paces', 'stick spans 24 paces'].map((words) => ({
    notes: [...notes('red oak sixteen inches'), ...notes(words)] as const,
    words,
    posterior: 0.35,
  })),
};

const methodOf = ({ height }: Told): string | undefined => height?.method;

describe('a question about a reading', () => {
  it('lapses with the next note that is no answer: what it held is named once, and gone', async () => {
    const { session, tell, told } = await asked();
    expect(told.answer.asks).toMatch(/^Did you say .* or .*\?$/);
    const next = await session.tell({
      words: "it's got two good logs in it",
      candidates: [{ notes: notes('two logs'), words: '', posterior: 0.7 }],
    });
    expect(next.answer.reply).toBe(
      'Did you say two logs? Not kept: northern red oak dbh sixteen inches, twenty four paces.',
    );
    // What was typed, and not answered, is told once, too.
    expect((await tell('sugar maple 14')).answer.reply).toBe(
      'Tree 1, sugar maple, 14 inches. Not kept: two logs.',
    );
    for (const words of ['two logs', 'next tree', 'beech 12', 'how many trees', 'dead']) {
      const { answer } = await tell(words);
      expect(answer.reply).not.toMatch(/Not kept|Still open|Did you say/);
      expect(answer.state).toBe('kept');
    }
    expect(session.question).toBeNull();
    expect(session.book.treeNumbered(1)).toMatchObject({ species: 318, logs: 2, heightFt: null });
    expect((await tell('the first one')).answer.state).toBe('refused');
  });

  it('is put again when the note that it lapsed with is taken back, and lapses with the next one', async () => {
    const { session, say } = await asked();
    await say('sugar maple 14');
    expect(session.question).toBeNull();
    expect(await say('scratch that')).toMatch(/Did you say/);
    expect(session.question).not.toBeNull();
    expect(await say('beech 12')).not.toMatch(/Not kept|Still open/);
    expect(session.question).toBeNull();
  });

  it('says nothing of what was said again instead of answering', async () => {
    const { session, say } = await asked();
    expect(await say('red oak sixteen inches')).toMatch(/Not kept: twenty four paces\.$/);
    expect(session.question).toBeNull();
    expect(session.book.treeNumbered(1)).toMatchObject({ species: 833, diameterIn: 16, heightFt: null });
  });

  it('is not answered by yes: which of the two is asked shortly, and both are still there', async () => {
    const { session, tell, say } = await asked();
    const entries = [...session.book.trees()].length;
    for (const word of ['yes', 'yes', 'keep it'])
      expect(await say(word)).toBe('Which: twenty four paces or stick spans twenty four paces?');
    expect([...session.book.trees()]).toHaveLength(entries);
    expect(session.question?.about).toBe('reading');
    // What waited with each is still there, and it is that of the one which was picked.
    const picked = await tell('the second one');
    expect(picked.answer.notes).toHaveLength(2);
    expect(session.book.entries.at(-1)?.note).toEqual(notes('stick spans 24 paces')[0]);
    expect(session.question).toBeNull();
  });

  it('is said again when asked for, and nothing lapses by that', async () => {
    const { session, tell, say, told } = await asked();
    expect(await say('say again')).toBe(told.answer.asks);
    expect(methodOf(await tell('the first one'))).toBe('stick');
    expect(session.book.treeNumbered(1)?.heightFt).toBeCloseTo(24 * 5.3 + 5.5, 6);
  });
});

describe('yes to a question with several answers', () => {
  it('of a nickname asks which', async () => {
    const { session, say } = await converse();
    expect(await say('birch twelve inches')).toMatch(/Which birch/);
    const open = session.question;
    expect(await say('yes')).toMatch(/^Which: .* or .*\?$/);
    expect(session.question).toEqual(open);
  });

  it('of a pace that is missing says the question again', async () => {
    const { session, say } = await converse();
    await say('beech twelve', 'twelve paces');
    expect(await say('yes')).toMatch(/^How long is your pace\?/);
    expect(session.question?.about).toBe('pace');
  });
});

describe('a height behind a question, with the mark of one', () => {
  it('was not measured: the question is answered, and the height is asked about', async () => {
    const { say, session } = await converse();
    await say(...set, 'white ash fourteen inches, nineteen paces');
    const feet = () => [...session.book.heights()].length;
    const before = feet();
    const read = reader.read('any doubts, a hundred feet');
    if (!read.ok) throw new Error(read.error.message);
    const both = read.value[0]!.notes;
    expect(both.map(({ kind }) => kind)).toEqual(['ask', 'height']);
    const candidates = [{ notes: both, words: 'any doubts, a hundred feet', posterior: 1 }];
    const wondered = await session.tell({ words: 'any doubts, a hundred feet?', candidates });
    expect(wondered.answer.asks).toBe('Did you say one hundred feet?');
    expect(feet()).toBe(before);
    await session.tell({ words: 'any doubts, a hundred feet', candidates });
    expect(feet()).toBe(before + 1);
  });
});

describe('talk that nobody can place', () => {
  it('is offered as a remark, kept by a yes, and told when it lapses', async () => {
    const { say, session } = await converse({ understand: understandTyped });
    expect(await say('the wumpers creak along the zibber path')).toBe(
      'I do not know "wumpers", "creak" or "zibber". Say it in other words, or yes to keep it as a remark.',
    );
    expect(session.book.remarks).toEqual([]);
    expect(await say('yes')).toMatch(/^Remark kept/);
    expect(session.book.remarks).toMatchObject([{ text: 'the wumpers creak along the zibber path' }]);
    await say('the wumpers creak along the zibber path');
    expect(await say('red oak sixteen inches')).toMatch(/Not kept: remark the wumpers creak/);
    expect(session.book.remarks).toHaveLength(1);
  });
});

describe('an answer while nothing is asked', () => {
  // The bench of hearing counts these as refused (tests/bench/hearing/fate.ts).
  it.each(['yes', 'no', 'never mind', 'first', 'second'])('"%s" keeps nothing and says so', async (word) => {
    const { session } = await converse();
    const { answer } = await session.tell({
      words: word,
      heard: { margin: 0, posterior: 0.99 },
      candidates: [{ notes: notes(word), words: word, posterior: 0.99 }],
    });
    expect(answer.state).toBe('refused');
    expect(answer.notes).toEqual([]);
  });
});
