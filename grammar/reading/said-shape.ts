/** What was said as one line with its numbers and names put out of the way, for families that know how people say a thing. */
import { passedOver } from '../description/other-words/concepts.ts';
import type { SaidPiece } from './pieces.ts';

/** What begins with a capital and is no name of anybody. */
export const nobody =
  /^(?:i|we|it|that|this|he|she|they|there|here|somebody|nobody|everybody|someone|everyone|nothing|something|lunch|lots|rain|snow|wind|mr|mrs|ms|miss|dr)$/;

export const isName = ({ is, capital, light, text, concepts }: SaidPiece): boolean =>
  is === 'words' &&
  capital &&
  !(light && passedOver.has(text)) &&
  concepts.size === 0 &&
  !nobody.test(text) &&
  /^\p{L}+$/u.test(text);

/** "NAME is calling", "coming back i got N". */
export const shapeOf = (pieces: readonly SaidPiece[]): string =>
  pieces
    .map((piece) =>
      piece.is === 'number' ? 'N' : piece.is === 'break' ? ',' : isName(piece) ? 'NAME' : piece.text,
    )
    .join(' ')
    .replaceAll(' ,', ',')
    .replaceAll(" '", "'");
