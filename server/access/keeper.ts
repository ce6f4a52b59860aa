/** The phones as a conversation and the server's addresses know them: listed, and put out. */
import { ok } from '../../shared/core/result.ts';
import type { PhoneKeeper } from '../../shared/dialogue/types.ts';
import type { Phones } from './phones.ts';

/** `tell` gets a sentence for who sits at the computer. */
export function phoneKeeper(phones: Phones, tell: (sentence: string) => void = () => {}): PhoneKeeper {
  return {
    list: async () => ok(phones.list().phones.map(({ id, name }) => ({ id, name }))),
    async putOut(id) {
      const name = phones.remove(id);
      if (name !== null) tell(`${name} was put out by a note.`);
      return ok(null);
    },
  };
}
