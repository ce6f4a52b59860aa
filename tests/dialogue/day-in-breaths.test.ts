/**
 * The whole acceptance morning (`day.test.ts`, with its figures by hand) told in half as many breaths: twenty seven notes in
 * thirteen, typed, and spoken by joining the made clips of a breath with a pause of a third of a second. It comes to the same
 * book, with the same answers.
 */

import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { createLanguage, type Language } from '../../server/language/language.ts';
import { readWav, writeWav } from '../../server/speech/audio.ts';
import { createHearing } from '../../server/speech/hear.ts';
import type { Book } from '../../shared/book/book.ts';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { Session } from '../../shared/dialogue/session.ts';
import { deviceId, MemoryJournal } from '../../shared/note/journal.ts';
import { notesKey } from '../../shared/note/note-key.ts';
import { clock, converse, ids } from '../support/conversation.ts';

/** How many of the morning's notes are in each breath, in its order, and what each must answer somewhere. */
const breaths: readonly (readonly [notes: readonly string[], answered: readonly RegExp[]])[] = [
  [
    [
      'nineteen paces in one hundred feet',
      'twenty paces in one hundred and four feet',
      'eye height five foot four',
    ],
    [/Pace 5\.23 feet from 2 walks/, /Eye height 5 feet 4\./],
  ],
  [
    ['stand alder hollow, twelve acres', 'plot one, tenth acre'],
    [/^Alder Hollow, 12 acres\./, /Plot 1, a tenth of an acre\. Radius 37\.2 feet\./],
  ],
  [
    ['red maple, eleven point four', 'ten and a half paces'],
    [/Tree 1, red maple, 11\.4 inches/, /60 feet, give or take \d/],
  ],
  [
    ['red oak sixteen two, two logs', 'thirty paces'],
    [/Tree 2, northern red oak, 16\.2 inches, 2 logs/, /162 feet.*thirteen.* 73/],
  ],
  [['thirteen'], [/73 feet, give or take \d.*Kept\./]],
  [
    ['how sure are you', 'why'],
    [/Give or take \d.*the pace/, /13 paces of 5\.23 feet make 68 feet/],
  ],
  [['sugar maple fourteen inches, dead'], [/^Tree 3, sugar maple, 14 inches, dead\. No height needed\.$/]],
  [['beech, centre at thirty six point nine feet, in or out'], [/^In, by 4 inches/]],
  [
    ['make that thirty seven point six', 'nine inch beech, face at thirty six point nine, in or out'],
    [/^Out, by 4 inches\. Not counted/, /Out, by half an inch: the centre is at 37\.3 feet/],
  ],
  [
    ['scratch that', 'how many trees', 'basal area'],
    [
      /^Scratched: .*beech, 9 inches/,
      /3 trees, one of them dead\./,
      /21 square feet an acre alive, 32 with the dead\. One plot, so no error yet\./,
    ],
  ],
  [
    ['close plot', 'empty plot'],
    [/^Plot 1 closed: 3 trees\. Next is plot 2\./, /Plot 2 is empty\. It counts\./],
  ],
  [
    ['mean height', 'volume per acre by doyle', 'how many more plots for fifteen percent'],
    [/^66\.8 feet, from 2 trees\./, /board feet an acre by Doyle/, /At this spread, \d+ more for 15 percent/],
  ],
  [
    ['any doubts', 'say again', 'stop listening'],
    [/^None open\. 1 settled.*None open\. 1 settled/s, /Not listening/],
  ],
];
const morning = breaths.flatMap(([notes]) => notes);

/** All that the morning leaves behind, without the ids and the moments. */
const left = (book: Book) => ({
  trees: [...book.trees()].map(({ number, species, diameterIn, logs, status, counted, heightFt }) => ({
    number,
    species,
    diameterIn,
    logs,
    status,
    counted,
    heightFt,
  })),
  plots: [...book.plots()].map(({ number, size, closed, empty }) => ({ number, size, closed, empty })),
  basalArea: totalsOf(book).basalArea().value,
  volume: totalsOf(book).volumePerAcre('doyle').value,
  settled: book.doubts.map(({ state }) => state),
});

let language: Language;
let onebyone: ReturnType<typeof left>;
beforeAll(async () => {
  language = createLanguage();
  const { session, say } = await converse();
  await say(...morning);
  onebyone = left(session.book);
});

it('is half as many breaths as notes', () => {
  expect(breaths.length).toBe(13);
  expect(morning.length).toBe(27);
});

describe('the morning in thirteen breaths, typed', () => {
  let session: Session;
  beforeAll(async () => {
    session = await Session.open(new MemoryJournal(), language.tongue, {
      device: deviceId('device-1'),
      now: clock(),
      id: ids(1),
    });
  });

  for (const [notes, answered] of breaths) {
    const words = notes.join(', ');
    it(words, async () => {
      const read = language.read(words);
      if (!read.ok) throw new Error(read.error);
      const { answer } = await session.tell({ words, candidates: read.value });
      expect(answer.state, answer.reply).not.toBe('refused');
      expect(answer.notes.length).toBe(expected(notes));
      for (const each of answered) expect(answer.reply).toMatch(each);
    });
  }

  it('comes to the same book as note by note', () => {
    expect(left(session.book)).toEqual(onebyone);
  });
});

/** A tree and its height are one note where they are said in one breath. */
const expected = (notes: readonly string[]): number =>
  /^(red maple|red oak)/.test(notes[0] ?? '') ? 1 : notes.length;

const clipOf = new Map(
  readFileSync(new URL('../sessions/morning.txt', import.meta.url), 'utf8')
    .trim()
    .split('\n')
    .map((file, at) => [morning[at], file]),
);
const rate = 16_000;
/** The clips of a breath, a pause between them. */
function spoken(notes: readonly string[]): Float32Array {
  const parts = notes.flatMap((words, at) => {
    const sound = readWav(readFileSync(new URL(`../../${clipOf.get(words)}`, import.meta.url)));
    if (!sound.ok) throw new Error(sound.error.message);
    return [...(at > 0 ? [new Float32Array(rate / 3)] : []), sound.value.samples];
  });
  const all = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  let from = 0;
  for (const part of parts) {
    all.set(part, from);
    from += part.length;
  }
  return all;
}

describe('the morning in thirteen breaths, spoken and heard with the true model', () => {
  let desk: Desk;
  let askedBack = 0;
  beforeAll(async () => {
    const hearing = createHearing();
    expect(await hearing.ready).toEqual({ ok: true, value: undefined });
    desk = await Desk.open({ store: new MemoryStore(), language, hearing });
    return () => desk.close();
  });

  for (const [notes, answered] of breaths) {
    it(notes.join(', '), async () => {
      const samples = spoken(notes);
      let { answer } = await desk.sound(
        { samples, seconds: samples.length / rate, warnings: [] },
        writeWav(samples),
      );
      let { reply } = answer;
      // Asked which of several was said, the person names the one that was.
      while (reply.includes('Did you say')) {
        askedBack++;
        const { options } = desk.session.question ?? { options: [] };
        const said = language.read(notes.join(', '));
        const meant = said.ok ? notesKey(said.value[0]?.notes ?? []) : '';
        const at = options.findIndex(({ note, behind }) =>
          meant.endsWith(notesKey([note, ...(behind ?? [])])),
        );
        expect(at, reply).toBeGreaterThanOrEqual(0);
        const pick = options.length === 1 ? 'yes' : ['first', 'second', 'third'][at];
        ({ answer } = await desk.note(pick ?? 'yes'));
        reply = `${reply.replace(/ ?Did you say .*/, '')} ${answer.reply}`.trim();
      }
      for (const each of answered) expect(reply).toMatch(each);
    });
  }

  it('asks back about three of the thirteen at most, and comes to the same book', () => {
    console.log(`asked back about ${askedBack} of ${breaths.length} spoken breaths`);
    expect(askedBack).toBeLessThanOrEqual(3);
    expect(left(desk.session.book)).toEqual(onebyone);
  });
});
