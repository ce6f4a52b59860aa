/**
 * Sentences that differ in one sound from sentences that mean something else: where a field notebook is most easily
 * misheard. Each list is small enough to be read; the pairs are common practice, no source.
 */
const teens = ['thirteen', 'fourteen', 'fifteen', 'sixteen', 'seventeen', 'eighteen', 'nineteen'];
const tys = ['thirty', 'forty', 'fifty', 'sixty', 'seventy', 'eighty', 'ninety'];

export const stressLists: Readonly<Record<string, readonly string[]>> = {
  teen_ty: [
    ...teens.map((word) => `${word} paces`),
    ...tys.map((word) => `${word} feet`),
    ...teens.slice(0, 4).map((word) => `red oak ${word} inches`),
    ...tys.slice(0, 4).map((word) => `laser ${word}`),
  ],
  eight_eighty: [
    'eight paces',
    'eighty paces',
    'eight paces eye five and a half',
    'eighteen paces eye five and a half',
    'eighty feet eye five and a half',
    'beech eight inches',
    'beech eighteen inches',
    'eighty eight feet',
    'laser eighty eight',
    'no eight',
  ],
  five_nine: [
    'five paces',
    'nine paces',
    'make that nine paces',
    'make that five paces',
    'plot five',
    'plot nine',
    'red oak nine inches',
    'red oak five inches',
    'taped forty five feet',
    'taped forty nine feet',
    'no nine',
    'no five',
  ],
  feet_metres: [
    'taped twenty feet',
    'taped twenty metres',
    'twenty two feet eye five and a half',
    'twenty two metres eye one point six',
    'stick spans thirty metres',
    'stick spans thirty feet',
    'laser thirty one metres',
    'laser ninety one feet',
    'units feet',
    'units metres',
  ],
  two_twos: [
    'twenty two paces',
    'two point two two inches',
    'plot twenty two',
    'laser one twenty two',
    'red oak twenty two inches two logs',
    'beech twelve two two logs',
    'taped twenty two feet two inches',
    'eleven paces',
    'seven paces',
    'twelve two inches',
  ],
};
