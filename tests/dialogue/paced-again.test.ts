/** Paced heights with a pace that was said later: they change when somebody says so, all at once, and only these. */
import { describe, expect, it } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { reportOf } from '../../shared/report/page/report.ts';
import { type Conversation, converse } from '../support/conversation.ts';
import { noon } from '../support/fakes.ts';
import { picture } from './book-picture.ts';

const again: Note = { kind: 'change', paced: true };
const tellNote = async (one: Conversation): Promise<string> =>
  (
    await one.session.tell({
      words: 'redo the paced ones',
      candidates: [{ notes: [again], words: 'redo the paced ones', posterior: 1 }],
    })
  ).answer.reply;
const feet = (one: Conversation) =>
  [...one.session.book.trees()].map(({ heightFt }) =>
    heightFt === null ? null : Math.round(heightFt * 10) / 10,
  );

/** Invented: 12 paces of 5 ft and an eye of 5 ft are 65 ft; with paces of 5.5 ft 71 ft. */
const wood = async (): Promise<Conversation> => {
  const one = await converse();
  await one.say('my pace is five feet', 'eye height five feet', 'red oak fourteen, twelve paces');
  await one.say(
    'beech nine',
    'taped fifty feet',
    'sugar maple ten, ten paces',
    'my pace is five point five feet',
  );
  return one;
};

describe('"redo the paced ones"', () => {
  it('works out all that were paced with the pace in force, and leaves what was taped', async () => {
    const one = await wood();
    expect(feet(one)).toEqual([65, 55, 55]);
    expect(await tellNote(one)).toBe(
      '2 heights worked out again with a pace of 5.5 feet: tree 1 71 feet and tree 3 60 feet.',
    );
    expect(feet(one)).toEqual([71, 55, 60]);
  });

  it('is undone at once, and says so when nothing changes', async () => {
    const one = await wood();
    const was = picture(one.session.book);
    await tellNote(one);
    expect(await tellNote(one)).toBe('No height that you paced comes out otherwise with a pace of 5.5 feet.');
    await one.say('undo');
    expect(picture(one.session.book)).toEqual(was);
  });

  it("leaves another person's alone", async () => {
    const one = await wood();
    await one.say('i am linnet', 'my pace is six feet', 'birch twelve, ten paces');
    expect(await tellNote(one)).toMatch(/^No height that you paced/);
    expect(feet(one)).toEqual([65, 55, 55, 65]);
  });

  it('counts corrected afterwards keep the new pace', async () => {
    const one = await wood();
    await tellNote(one);
    await one.say('for tree three', 'no, eleven paces');
    expect(feet(one)).toEqual([71, 55, 65.5]);
  });

  it('the report names the pace that each was worked out with', async () => {
    const one = await wood();
    const paces = (): readonly string[] =>
      reportOf({ book: one.session.book, answers: [], made: noon() })
        .sections.flatMap(({ lines }) => lines ?? [])
        .filter((line) => /^Pace/.test(String(line)))
        .map((line) => /^Pace (\S+ feet)/.exec(String(line))?.[1] ?? String(line));
    expect(paces()).toEqual(['5 feet']);
    await tellNote(one);
    expect(paces()).toEqual(['5.5 feet']);
  });
});
