/** Words that are no number or no name where they stand, and letters that are a number there. */
import { numberAt, type Quantity, type Token } from './said-numbers.ts';

/** A letter that is a number, as a piece. */
interface LetterPiece {
  readonly is: 'number';
  readonly text: string;
  readonly number: Quantity;
}

/** "Three feet long", "as long as my arm": no longleaf pine. */
export const isAdjective = (tokens: readonly Token[], at: number, to: number): boolean =>
  to === at + 1 &&
  tokens[at]!.text === 'long' &&
  /^(?:feet|foot|ft|inch|inches|metres?|meters?|m|cm|centimetres?|yards?|as|how|so|too|half|quarter|')$/.test(
    tokens[at - 1]?.text ?? '',
  );

/** "Point three" as a clause of its own is a plot, not three tenths. */
export const isPointOf = (tokens: readonly Token[], at: number): boolean =>
  tokens[at]!.text === 'point' &&
  (at === 0 || /^[,;:.?!]$/.test(tokens[at - 1]!.text)) &&
  /^(?:[,;:.?!]|and|then)?$/.test(tokens[at + 1 + (numberAt(tokens, at + 1)?.length ?? 9)]?.text ?? '') &&
  Number.isInteger(numberAt(tokens, at + 1)?.value);

/** "Plot B": the letter as the number that it stands for. */
export function letterAt(tokens: readonly Token[], at: number): LetterPiece | undefined {
  const { text, capital } = tokens[at]!;
  if (!/^[a-h]$/.test(text) || !/^(?:plot|stop|point|sample|station|pt|pl)$/.test(tokens[at - 1]?.text ?? ''))
    return undefined;
  const last = tokens[at + 1] === undefined || /^[,;:.?!]$/.test(tokens[at + 1]!.text);
  if (!capital && !last) return undefined;
  return { is: 'number', text, number: { value: text.charCodeAt(0) - 96, letter: text, length: 1 } };
}

/** "That one", "the last one", "one of them", "this one": no number. */
export function isPronoun(tokens: readonly Token[], at: number): boolean {
  if (tokens[at]!.text !== 'one') return false;
  const before = tokens[at - 1]?.text ?? '';
  const behind = tokens[at + 1]?.text ?? '';
  if (
    /^(?:that|this|the|last|next|first|second|third|fourth|another|other|which|big|little|small|wee|old|same|good|nice|thick|thin|fat|dead|live|living|hollow|rotten|crooked|straight|broken|leaning|short|tall|young|previous|every|each|latest|inch|inches|centimetre|cm)$/.test(
      before,
    )
  )
    return !/^(?:log|logs|chain|hundred|metre|meter|point|inch|foot|pace|step|half|quarter|and)$/.test(
      behind,
    );
  // "A windblown one, ...".
  const article = /^(?:an?|the|that|this|another)$/.test(tokens[at - 2]?.text ?? '');
  const described =
    article &&
    /^[a-z]{4,}$/.test(before) &&
    !/^(?:plot|tree|stop|number|point|specimen|station|sample|hundred)$/.test(before);
  if (described && (behind === '' || behind === ',' || isVerb(behind))) return true;
  return (
    /^(?:of|is|was|'s|here|next|behind|beside|thing)$/.test(behind) &&
    !/^(?:plot|tree|stop|number|point)$/.test(before)
  );
}

export const isVerb = (text: string | undefined): boolean => /^(?:'s|is|was|has|had|got)$/.test(text ?? '');
