/**
 * Which phones the computer lets in, and putting one out. Nothing of it is the book's: it is asked and told where phones
 * are let in, while the person waits, so an entry that comes from elsewhere puts nobody out.
 */
import type { NoteOf } from '../note/note.ts';
import * as wording from '../wording/wording.ts';
import { asking, kept, type Outcome, type PhoneTalk, refused, said } from './outcome.ts';
import type { PhoneKeeper, PhoneLetIn } from './types.ts';

const nowhere = 'Phones are let in by the computer. This page has none behind it, so it puts none out.';

/** Looks who is let in. A failure is the sentence that every note about phones is then refused with. */
export async function phoneTalk(keeper: PhoneKeeper | undefined): Promise<PhoneTalk> {
  const known = keeper === undefined ? null : await keeper.list();
  const trouble = known === null ? nowhere : known.ok ? null : known.error;
  const phones = known?.ok ? known.value : [];
  return {
    list: () => (trouble === null ? said(listed(phones)) : refused(trouble)),
    putOut: (note) =>
      trouble === null && keeper ? putOut(phones, note, keeper) : refused(trouble ?? nowhere),
  };
}

function listed(phones: readonly PhoneLetIn[]): string {
  if (phones.length === 0) return 'No phone is let in.';
  const names = wording.list(
    phones.map(({ name }) => name),
    'and',
  );
  return `${phones.length === 1 ? 'One phone is' : `${phones.length} phones are`} let in: ${names}.`;
}

function putOut(phones: readonly PhoneLetIn[], note: NoteOf<'control'>, keeper: PhoneKeeper): Outcome {
  const { sure } = note;
  if (sure !== undefined) {
    const name = phones.find(({ id }) => id === sure)?.name;
    if (name === undefined) return refused('That phone is out already.');
    return {
      ...kept([], () => `${name} is put out: it keeps its notes and sends nothing more.`),
      first: () => keeper.putOut(sure),
    };
  }
  const called = note.phone ?? '';
  const found = phonesCalled(phones, called);
  const [one] = found;
  if (one === undefined) return refused(`No phone of that name is let in: "${called}". ${listed(phones)}`);
  if (found.length > 1)
    return refused(
      `Which: ${wording.list(
        found.map(({ name }) => name),
        'or',
      )}? Say forget the phone, then its whole name.`,
    );
  return asking({
    about: 'confirm',
    text: `Put out ${one.name}? It keeps its notes and sends nothing more.`,
    options: [{ say: `put out ${one.name}`, note: { kind: 'control', op: 'putOut', sure: one.id } }],
  });
}

const numbers = 'zero one two three four five six seven eight nine ten'.split(' ');
/** Words that do not tell one phone from another. */
const bare: ReadonlySet<string> = new Set(['the', 'phone', 'of']);

/** "Wren's phone 2" -> "wren 2"; "phone two" -> "2". */
function wordsOf(name: string): string[] {
  return name
    .toLowerCase()
    .replace(/['’]s?(?=\s|$)/gu, '')
    .split(/[^\p{L}\p{N}]+/u)
    .filter((word) => word !== '' && !bare.has(word))
    .map((word) => (numbers.includes(word) ? String(numbers.indexOf(word)) : word));
}

/**
 * The phones that a name may mean: those called just so, else those with all its words.
 *
 * Example: `phonesCalled([{ id: '1', name: "Wren's phone" }, { id: '2', name: 'Linnet' }], 'wren').length === 1`
 */
export function phonesCalled(phones: readonly PhoneLetIn[], called: string): PhoneLetIn[] {
  const wanted = wordsOf(called);
  const all = phones.map((phone) => ({ phone, words: wordsOf(phone.name) }));
  const same = all.filter(({ words }) => words.join(' ') === wanted.join(' '));
  const having = all.filter(({ words }) => wanted.length > 0 && wanted.every((word) => words.includes(word)));
  return (same.length > 0 ? same : having).map(({ phone }) => phone);
}
