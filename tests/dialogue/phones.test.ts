/** Phones that the computer lets in: listed and put out by a note, asked first, and only where they are let in. */
import { describe, expect, test } from 'vitest';
import { err, ok } from '../../shared/core/result.ts';
import { phonesCalled } from '../../shared/dialogue/phones.ts';
import type { PhoneKeeper } from '../../shared/dialogue/types.ts';
import { MemoryJournal } from '../../shared/note/journal.ts';
import { converse } from '../support/conversation.ts';

const three = ["Wren's phone", 'Linnet', 'Linnet 2'].map((name, at) => ({
  id: `${at}`.padStart(16, 'a'),
  name,
}));

/** Phones of a computer that may be out of reach. */
function computer(): PhoneKeeper & { phones: { id: string; name: string }[]; reached: boolean } {
  const away = err('The computer cannot be reached.');
  return {
    phones: [...three],
    reached: true,
    async list() {
      return this.reached ? ok(this.phones) : away;
    },
    async putOut(id) {
      if (!this.reached) return away;
      this.phones = this.phones.filter((phone) => phone.id !== id);
      return ok(null);
    },
  };
}

test('who is let in is told, and one of them is put out after a yes', async () => {
  const phones = computer();
  const { say, tell } = await converse({ phones });
  expect(await say('which phones are let in')).toBe(
    "3 phones are let in: Wren's phone, Linnet and Linnet 2.",
  );
  const asked = await tell('forget the phone of wren');
  expect(asked.answer).toMatchObject({
    state: 'asking',
    reply: "Put out Wren's phone? It keeps its notes and sends nothing more.",
  });
  expect(phones.phones).toEqual(three);
  expect(await say('yes')).toBe("Wren's phone is put out: it keeps its notes and sends nothing more.");
  expect(phones.phones.map(({ name }) => name)).toEqual(['Linnet', 'Linnet 2']);
  expect(await say('which phones')).toBe('2 phones are let in: Linnet and Linnet 2.');
});

test('nobody is put out by a no, by going on, or by a yes that comes after other notes', async () => {
  const phones = computer();
  const { say, tell } = await converse({ phones });
  expect(await say('forget the phone of wren', 'no')).toBe('Then say it again.');
  await say('put out phone linnet two', 'red oak twelve inches');
  expect((await tell('yes')).answer.state).toBe('refused');
  expect(await say('forget phone wren, yes')).not.toMatch(/is put out/);
  expect(phones.phones).toEqual(three);
});

test.each([
  [
    'forget the phone of merle',
    'No phone of that name is let in: "merle". 3 phones are let in: Wren\'s phone, Linnet and Linnet 2.',
  ],
  ['forget the phone of linnet', 'Put out Linnet? It keeps its notes and sends nothing more.'],
  ['forget phone linnet two', 'Put out Linnet 2? It keeps its notes and sends nothing more.'],
])('%s: %s', async (words, reply) => {
  const { say } = await converse({ phones: computer() });
  expect(await say(words)).toBe(reply);
});

test('several that may be meant are named', () => {
  expect(
    phonesCalled(
      [
        { id: '1', name: 'Wren old' },
        { id: '2', name: 'Wren new' },
      ],
      'wren',
    ),
  ).toHaveLength(2);
  expect(phonesCalled(three, '')).toEqual([]);
  expect(
    phonesCalled(
      [
        { id: '1', name: 'Phone' },
        { id: '2', name: 'Phone 2' },
      ],
      'two',
    ),
  ).toEqual([{ id: '2', name: 'Phone 2' }]);
});

describe('where the computer is out of reach', () => {
  test('the note is refused with its sentence', async () => {
    const phones = computer();
    phones.reached = false;
    const { tell } = await converse({ phones });
    for (const words of ['which phones', 'forget the phone of wren'])
      expect((await tell(words)).answer).toMatchObject({
        state: 'refused',
        reply: 'The computer cannot be reached.',
      });
  });

  test('a yes is refused, nobody is said to be out, and the question stands for when it is back', async () => {
    const phones = computer();
    const { say, tell } = await converse({ phones });
    await say('forget the phone of wren');
    phones.reached = false;
    expect((await tell('yes')).answer).toMatchObject({ state: 'refused' });
    expect(phones.phones).toEqual(three);
    phones.reached = true;
    expect(await say('yes')).toMatch(/^Wren's phone is put out/);
  });
});

test('a conversation behind which nobody lets phones in says so', async () => {
  const { tell } = await converse();
  expect((await tell('which phones')).answer).toMatchObject({
    state: 'refused',
    reply: 'Phones are let in by the computer. This page has none behind it, so it puts none out.',
  });
});

test('an entry that comes from elsewhere, or is read again, puts nobody out', async () => {
  const journal = new MemoryJournal();
  const { say } = await converse({ journal, phones: computer() });
  await say('forget the phone of wren', 'yes');
  const phones = computer();
  const elsewhere = await converse({ journal, device: 2, phones });
  await elsewhere.say('red oak twelve inches');
  expect(phones.phones).toEqual(three);
});
