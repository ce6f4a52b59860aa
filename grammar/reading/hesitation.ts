/** Sounds between typed words, which say nothing wherever they stand. */
import { lengths } from '../../shared/note/limits.ts';

const sounds = /(?<![^\s,;.])(?:u+m+|u+h+|erm?|a+h+|h+m+)(?:[,;](?=\s)|(?![^\s,;.]))/gi;

/**
 * Typed words without "um" and its like; as they are where nothing else was typed.
 * Example: `withoutHesitation('eleven um paces') === 'eleven paces'`.
 */
export function withoutHesitation(text: string): string {
  if (text.length > lengths.remark) return text;
  const bare = text.replace(sounds, ' ').replace(/\s+/g, ' ').trim();
  return /[a-z0-9]/i.test(bare) ? bare : text;
}
