/** Values of totals in the units of the book: the factor to what is shown, and the unit in words and in short. */

import { centimetresPerInch, hectaresPerAcre, metresPerFoot } from '../core/units.ts';
import type { Estimate } from '../totals/types.ts';

const squareMetres = metresPerFoot ** 2;
const cubicMetres = metresPerFoot ** 3;
/** A pound is 0.45359237 kg, exactly. */
const tonnesPerPound = 0.45359237 / 1000;
const poundsPerTon = 2000;

interface ShownAs {
  readonly factor: number;
  /** Said after the number: "square feet an acre". */
  readonly words: string;
  /** Over a column: "ft² an acre". */
  readonly short: string;
}

const as = (factor: number, words: string, short = words): ShownAs => ({ factor, words, short });

/** Board feet stay board feet, of a hectare where that is the unit of areas. Example: `shownAs('ft', true)` is metres, factor 0.3048. */
export function shownAs(unit: Estimate['unit'], metric: boolean): ShownAs {
  switch (unit) {
    case 'ft2/acre':
      return metric
        ? as(squareMetres / hectaresPerAcre, 'square metres a hectare', 'm² a hectare')
        : as(1, 'square feet an acre', 'ft² an acre');
    case 'trees/acre':
      return metric ? as(1 / hectaresPerAcre, 'trees a hectare') : as(1, 'trees an acre');
    case 'ft2':
      return metric ? as(squareMetres, 'square metres', 'm²') : as(1, 'square feet', 'ft²');
    case 'bf':
      return as(1, 'board feet');
    case 'bf/acre':
      return metric ? as(1 / hectaresPerAcre, 'board feet a hectare') : as(1, 'board feet an acre');
    case 'ft3':
      return metric ? as(cubicMetres, 'cubic metres', 'm³') : as(1, 'cubic feet', 'ft³');
    case 'ft3/acre':
      return metric
        ? as(cubicMetres / hectaresPerAcre, 'cubic metres a hectare', 'm³ a hectare')
        : as(1, 'cubic feet an acre', 'ft³ an acre');
    case 'lb':
      return metric ? as(tonnesPerPound, 'tonnes') : as(1 / poundsPerTon, 'tons');
    case 'lb/acre':
      return metric
        ? as(tonnesPerPound / hectaresPerAcre, 'tonnes a hectare')
        : as(1 / poundsPerTon, 'tons an acre');
    case 'ft':
      return metric ? as(metresPerFoot, 'metres', 'm') : as(1, 'feet', 'ft');
    case 'in':
      return metric ? as(centimetresPerInch, 'centimetres', 'cm') : as(1, 'inches', 'in');
    case 'trees':
      return as(1, 'trees');
    case 'plots':
      return as(1, 'plots');
  }
}
