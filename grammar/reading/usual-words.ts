/** Typed words that mean something else where they stand than in the description: said the usual way before they are read. */
import { ones, teens, tens } from '../description/numbers.ts';

const upToHundred = `(?:\\d{1,2}|(?:${tens.join('|')})(?:[ -](?:${ones.join('|')}))?|${[...ones, ...teens].join('|')})`;
const beginsAtPoint = new RegExp(
  `^\\s*(?:(?:at|on)\\s+)?((?:start|begin|open|reopen|close)\\s+)?point(?=\\s+${upToHundred}\\s*(?:[,;:]|[.](?!\\d)|$))`,
  'i',
);
/** Behind a word that no number follows, or before one that tells of a thing. */
const pointTold = new RegExp(
  `(^\\s*|[,;.]\\s*|\\b(?:did|does|took|ran|scratch|delete|remove|drop|strike|bin|scrap|at|on|reopen|for|from|of|that|is|with|and|so|ok|okay|oh)\\s+)point(?=\\s+${upToHundred}\\s+(?:was|is|were|had|has|got|should|altogether|completely|entirely|please|again|on|by|and|now|alone|instead|i|we|there|here)\\b)`,
  'gi',
);
const pointTaken = new RegExp(
  `\\b((?:did|ran|scratch|delete|remove|drop|strike|bin|scrap|reopen)\\s+)point(?=\\s+${upToHundred}\\s*(?:[,;:]|[.](?!\\d)|$))`,
  'i',
);

/** "On point one the red oak was ...": where something stands, unless a unit makes it a part. */
const pointWhere = new RegExp(
  `\\b((?:on|at|from|to|through|over|about|back on)\\s+)point(?=\\s+${upToHundred}(?:\\s*[,;:]|[.](?!\\d)|\\s*$|\\s+(?!(?:inch|inches|in|feet|foot|ft|cm|m|metres?|meters?|yards?|percent|per|acres?|hectares?|ha|of|an?|degrees?|hundred|point|\\d)\\b)[a-z]))`,
  'gi',
);

/** "Point one" by itself, before a comma or told of, is a plot, not a tenth. */
const pointAsPlot = (said: string): string =>
  said
    .replace(beginsAtPoint, '$1plot')
    .replace(pointTold, '$1plot')
    .replace(pointTaken, '$1plot')
    .replace(pointWhere, '$1plot');

const angle =
  '(?:at (?:an? )?(?:45|forty[- ]?five)(?: ?(?:degrees?|deg|°))?(?! ?(?:feet|foot|ft|paces?|steps?|metres?|meters?|m|yards?|inch))(?: angle)?)';
const held = `(?:(?:held|set|angled|kept|tilted) )?${angle}`;
const far = '(?:paces?|steps?|feet|foot|ft|metres?|meters?|m|yards?|yds?)';
/** "Thirty paces out with the stick at 45", "forty paces on the stick": paces or a length are of a stick at 45 degrees by themselves. */
const pacedWithStick = new RegExp(
  `(\\b${far}(?: (?:out|back|off|away|from it))?),? (?:(?:with|on|by|using|off|and) )(?:(?:the|my|a|our) )?stick(?: ${held})?(?=[,;.]|$| and\\b)`,
  'gi',
);
const stickHeld = new RegExp(`\\bstick ${held}`, 'gi');
const stickAlone = (said: string): string => said.replace(pacedWithStick, '$1').replace(stickHeld, 'stick');

/** "Cm for the diameters and metres for height": which units, with no number before them. */
const unitsFor =
  /(^|[,;.] ?|\band )(?:in )?(?:(cm|centim(?:et(?:re|er))s?|met(?:re|er)s?|mm|millimet(?:re|er)s?)|feet|foot|ft|inch(?:es)?) (?:for|on) (?:the |my |all )*(?:diameters?|dbh|girths?|heights?|distances?|everything|trees)\b/gi;
const unitsTwice = /\b(metric|imperial)(?:[,;]? (?:and )?\1\b)+/gi;
const asUnits = (said: string): string => {
  const usual = said.replace(
    unitsFor,
    (_, before: string, metric?: string) => `${before}${metric ? 'metric' : 'imperial'}`,
  );
  return usual === said ? said : usual.replace(unitsTwice, '$1');
};

/** "Enough feet, metric now": the units that are left behind, where others are said. */
const unitWord = '(?:feet|inches|imperial|metric|met(?:re|er)s|centimet(?:re|er)s)';
const unitsLeft = new RegExp(
  `(?:,? ?(?:and )?\\b(?:i'm|we're|i am|we are) )?\\b(?:(?:done|finished) with|enough(?: of)?|no more) (?:the )?${unitWord}(?: and ${unitWord})?\\b[,;]? ?`,
  'i',
);
const anyUnit = new RegExp(`\\b${unitWord}\\b`, 'i');
const withoutUnitsLeft = (said: string): string => {
  const rest = said.replace(unitsLeft, '');
  return rest !== said && anyUnit.test(rest) ? rest : said;
};

/** "Its" before a name, and "w" before "the", as thumbs write them. */
const itsName = /\b([Ii])ts (?=[A-Z][a-z]+\b)/g;
const withShort = /\bw\/? ?(?=(?:the|my|a|his|her|our) )/gi;

/** "Leans a lot" speaks of no woodlot, "nothing but poplar" of no empty plot. */
const aLot = /\b([a-z]+s|it|is|quite|rots?|leaning|crooked|forked) a lot\b/gi;
const nothingBut = /\bnothing but\b/gi;

/** "Red oak 14, second stem 9": of one tree. */
const secondStem = /([,;] ?(?:and )?(?:the )?)second (?=(?:stem|trunk) (?:is |was )?(?:\d|[a-z]+))/gi;

/** "Big leaf maple", "big tooth aspen": one word in the name. */
const bigNamed = /\bbig[ -](leaf|tooth)(?= (?:maples?|aspens?)\b)/gi;

/** "Eye's 5-4" is five foot four. */
const eyeDashed = /\b(eyes?\b[^\d,;]{0,24})([3-6]) ?- ?(\d|1[01])(?![\d.])(?=\b)/gi;

/** `inUsualWords('point one, forty paces on the stick')` is "plot one, forty paces". */
export const inUsualWords = (said: string): string =>
  asUnits(withoutUnitsLeft(stickAlone(pointAsPlot(said))))
    .replace(itsName, "$1t's ")
    .replace(withShort, 'with ')
    .replace(eyeDashed, "$1$2'$3")
    .replace(bigNamed, 'big$1')
    .replace(aLot, '$1 much')
    .replace(nothingBut, 'only')
    .replace(secondStem, '$1other ');
