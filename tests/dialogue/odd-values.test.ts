/**
 * Settings and sizes that nobody means are asked about before anything is kept. Limits are common practice, no source: a
 * pace of two steps is about five feet, an eye about five and a half, a plot a part of an acre, a factor below eighty.
 */
import { describe, expect, test } from 'vitest';
import { type Conversation, converse } from '../support/conversation.ts';

/** What was asked; nothing may have been kept. */
async function asked(talk: Conversation, words: string): Promise<string> {
  const before = talk.session.book.entries.at(-1)?.acts.length;
  const { answer } = await talk.tell(words);
  expect(answer.state, answer.reply).toBe('asking');
  expect(talk.session.book.entries.at(-1)?.acts ?? [], `${before}`).toEqual([]);
  return answer.reply;
}

describe('a pace', () => {
  test('of ten feet was perhaps of four steps: half of it is offered, and kept with yes', async () => {
    const talk = await converse();
    expect(await asked(talk, 'my pace is ten point four feet')).toContain('five point two feet');
    await talk.say('yes');
    expect(talk.session.settings.pace?.feet).toBeCloseTo(5.2, 9);
  });

  test('is kept as it was said where it is meant, or said again', async () => {
    const talk = await converse();
    await asked(talk, 'my pace is ten point four feet');
    await talk.say('keep it');
    expect(talk.session.settings.pace?.feet).toBeCloseTo(10.4, 9);
    await asked(talk, 'my pace is nine feet');
    await talk.say('five point one');
    expect(talk.session.settings.pace?.feet).toBeCloseTo(5.1, 9);
  });

  test('of a step as long as a pace is asked about; an ordinary one is not', async () => {
    const talk = await converse();
    await asked(talk, 'my step is five feet');
    expect((await talk.tell('my pace is five point three feet')).answer.state).toBe('kept');
    expect((await talk.tell('nineteen paces in one hundred feet')).answer.state).toBe('kept');
    await asked(talk, 'ten paces in one hundred feet');
  });

  test('that is said right makes an older doubt of it void', async () => {
    const talk = await converse();
    await asked(talk, 'my pace is nine feet');
    expect(await talk.say('my pace is five feet')).not.toContain('Still open');
  });
});

describe('an eye height', () => {
  test('of nine feet, or of two metres, is asked about, and said again by itself', async () => {
    const talk = await converse();
    await asked(talk, 'eye height two metres');
    await asked(talk, 'eye height nine feet');
    await talk.say('five foot nine');
    expect(talk.session.settings.eye?.feet).toBeCloseTo(5.75, 9);
  });
});

describe('a plot', () => {
  test('of fifty acres was a fiftieth or a fifth', async () => {
    const talk = await converse();
    expect(await asked(talk, 'plot one fifty acres')).toMatch(/fiftieth acre.*fifth acre/);
    await talk.say('fifth acre');
    expect([...talk.session.book.plots()][0]?.size).toMatchObject({ value: 0.2, unit: 'acre' });
  });

  test('larger than its stand is asked about', async () => {
    const talk = await converse();
    await talk.say('stand alder hollow, half an acre');
    expect(await asked(talk, 'plot one one acre')).toContain("more than the stand's half an acre");
  });

  test('of a factor of two hundred was twenty', async () => {
    const talk = await converse();
    expect(await asked(talk, 'plot one factor two hundred')).toContain('twenty');
    await talk.say('yes');
    expect([...talk.session.book.plots()][0]?.size).toMatchObject({ by: 'factor', value: 20 });
  });

  test('of a metric factor of ten was perhaps imperial', async () => {
    const talk = await converse();
    await talk.say('metric');
    expect(await asked(talk, 'plot one factor ten')).toContain('ten imperial');
    await talk.say('yes');
    expect([...talk.session.book.plots()][0]?.size).toMatchObject({ value: 10, unit: 'ft2/acre' });
  });

  test('of a usual size is not', async () => {
    const talk = await converse();
    for (const words of [
      'plot one tenth acre',
      'plot two one acre',
      'plot three factor ten',
      'plot four radius thirty seven feet',
      'plot five point oh four hectares',
    ])
      expect((await talk.tell(words)).answer.state, words).toBe('kept');
  });
});

describe('a stratum', () => {
  test('larger than its stand is asked about', async () => {
    const talk = await converse();
    await talk.say('stand alder hollow, twelve acres');
    expect(await asked(talk, 'stratum ridge forty acres')).toContain(
      'more than the 12 acres of Alder Hollow',
    );
    await talk.say('keep it');
    expect([...talk.session.book.strata.values()][0]).toMatchObject({ acres: 40 });
  });
});
