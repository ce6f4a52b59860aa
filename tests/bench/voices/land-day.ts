/** A day in Alder Hollow as it is said: the edge, twelve plots, the ways, one obstacle, the end. Invented wood. */
import { ones, teens } from '../../../grammar/description/numbers.ts';

const numbers = [...ones, ...teens].slice(0, 12);

/** What is said before the first plot. */
export const edgeLines = [
  'nineteen paces in one hundred feet',
  'twenty paces in one hundred and four feet',
  'stand alder hollow, ten acres',
  'declination twelve west',
  'start a traverse',
  'bearing ninety, one hundred and forty paces',
  'due south, one hundred and thirty paces',
  'bearing two seventy, one hundred and forty one paces',
  'due south, one hundred and twenty nine paces',
  'what is the closure',
  'leg four the other way',
  'back at the start',
  'yes',
  'lay out twelve plots on a grid',
  'red oak is four hundred and fifty dollars a thousand',
] as const;

/** What is said on the way to a plot and there, by its place from 0. */
export function plotLines(i: number): readonly string[] {
  return [
    'way to the next plot',
    ...(i === 4 ? ['go around to the right twenty paces'] : []),
    `plot ${numbers[i]} tenth acre`,
    ...(i % 2 === 0 ? [`red oak ${i % 4 === 0 ? 'sixteen' : 'eighteen'} inches two logs`] : ['empty plot']),
    'which plots are left',
  ];
}

export const endLines = ['way back to the start', 'what is it worth', 'any doubts'] as const;

/** The whole day. */
export const dayLines: readonly string[] = [
  ...edgeLines,
  ...numbers.flatMap((_, i) => plotLines(i)),
  ...endLines,
];

/** Other notes of the ground that a day may hold: bearings, legs, ways, offsets, closings in other words. */
export const otherLines = [
  'bearing eighty five sixty two paces',
  'north forty east three chains',
  'azimuth two hundred and twelve one hundred and forty feet slope twelve percent',
  'due west eighty paces',
  'south thirty five west ninety four paces',
  'bearing three oh five seventy one paces',
  'bearing one seventeen forty six paces',
  'leg four was sixty five paces',
  'leg two was bearing ninety five',
  'no bearing ninety',
  'close the traverse',
  'traverse done',
  'use that area',
  'lay out twenty plots on lines bearing thirty',
  'lay out plots for ten percent error',
  'lay out twenty plots over the strata',
  'way to plot seven',
  'which way now',
  'i am at plot seven',
  "i'm at corner three",
  'at the start',
  'offset left forty feet',
  'went around it on the left ten paces',
  'read the legs',
  'area so far',
  'declination eight and a half east',
] as const;
