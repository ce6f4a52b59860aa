/** Under which key a stand or a part of one is known: "stand three", "number 3" and "3" are one, and so are "14 b" and "14b". */

const small =
  'zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen'.split(
    ' ',
  );
const tens = 'twenty thirty forty fifty sixty seventy eighty ninety'.split(' ');

/** "Three" is 3, "twenty" is 20; null for a word that is no number. */
function numberOf(word: string): number | null {
  if (/^\d{1,4}$/.test(word)) return Number(word);
  const [ten, one] = [tens.indexOf(word), small.indexOf(word)];
  return one >= 0 ? one : ten >= 0 ? 20 + 10 * ten : null;
}

export function placeKey(name: string): string {
  const words = name
    .toLowerCase()
    .replace(/(\d)(?=[a-z])/g, '$1 ')
    .split(/[\s-]+/)
    .filter((word) => word !== '');
  const key: string[] = [];
  let whole: number | null = null;
  for (const word of words) {
    const number = numberOf(word);
    // "Twenty three" is one number, "three four" are two.
    if (number !== null && whole !== null && whole >= 20 && whole % 10 === 0 && number > 0 && number < 10)
      key[key.length - 1] = String(whole + number);
    else if (/^[a-z]$/.test(word) && whole !== null) key[key.length - 1] += word;
    else key.push(number === null ? word : String(number));
    whole = number;
  }
  const bare = key.filter((word) => !/^(?:stand|compartment|number|no)$/.test(word));
  return (bare.length > 0 ? bare : key).join(' ');
}

/** Whether it is called by a number or a letter alone: "3", "14b", "C". */
export const isCode = (name: string): boolean => /^(?:\d+[a-z]?|[a-z])$/.test(placeKey(name));

/** Whether a name may be short for a whole one: "14b" and "harl wood" for "harl wood 14b". */
export function isPartOf(short: string, whole: string): boolean {
  return ` ${placeKey(whole)} `.includes(` ${placeKey(short)} `);
}
