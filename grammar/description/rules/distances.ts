/**
 * Parts of a sighting, shared by all ways to a height: how far, how high the eye, where the base is, how it leans.
 * They have no family: nobody says them for the help page.
 */
import type { Rule } from '../model.ts';

export const distanceRules: readonly Rule[] = [
  /** Fractions of what is taped or sighted; thirds are for paces, eighths for diameters. */
  {
    id: 'fraction',
    patterns: ['[a | one] half {part 0.5} | (a | one) quarter {part 0.25} | three quarters {part 0.75}'],
  },
  { id: 'decimals', patterns: ['point {point} <n.decimal+>'] },
  /** Less than one: never a distance, or "girth one point one metres" would be a girth of one at point one metres. */
  { id: 'belowOne', patterns: ['<decimals>', '(zero {add 0} | oh {add 0} | nought {add 0}) [<decimals>]'] },
  { id: 'small', patterns: ['<n.below100> [<decimals> | and <fraction>]', '<belowOne>'] },
  /** Whole numbers with no digit runs and no "one twenty". */
  {
    id: 'plainCount',
    patterns: ['<n.below100>', '(<n.ones> | a {add 1}) hundred {times 100} [[and] <n.below100>]'],
  },
  /**
   * Numbers in the same way, for places where another number may follow at once: "base minus four sixty six feet"
   * must not be 466.
   */
  { id: 'plain', patterns: ['<plainCount> [<decimals> | and <fraction>]', '<belowOne>'] },
  /** With "one oh five" and "one twenty", where a word must follow before the next number. */
  {
    id: 'wholeSpoken',
    patterns: ['<plainCount>', 'one {add 1} (<n.shifted> | (oh {append 0} | zero {append 0}) <n.append>)'],
  },
  { id: 'spoken', patterns: ['<wholeSpoken> [<decimals> | and <fraction>]'] },
  {
    id: 'inchUnit',
    patterns: [
      'inches {unit in} | inch {unit in} | centimetres {unit cm} | centimeters {unit cm} | centimetre {unit cm}',
    ],
  },
  { id: 'feetUnit', patterns: ['feet {unit ft} | foot {unit ft}'] },
  /** Feet, and whole inches behind them. */
  {
    id: 'feetInches',
    patterns: [
      '(feet {unit ft} {feet} | foot {unit ft} {feet}) [[and] (one {add 1} | two {add 2} | three {add 3} | four {add 4} | five {add 5} | six {add 6} | seven {add 7} | eight {add 8} | nine {add 9} | ten {add 10} | eleven {add 11}) [inches | inch]]',
    ],
  },
  { id: 'metreUnit', patterns: ['metres {unit m} | meters {unit m} | metre {unit m} | meter {unit m}'] },
  {
    id: 'chainUnit',
    patterns: ['chains {unit chain} | chain {unit chain} | yards {unit yd} | yard {unit yd}'],
  },
  /** Lengths that somebody walks or tapes: no inches or centimetres alone. */
  {
    id: 'far',
    patterns: [
      '<spoken> (<feetUnit> | <metreUnit> | <chainUnit>)',
      '<wholeSpoken> <feetInches>',
      '(a {add 1} | half {part 0.5} a) chain {unit chain}',
      '(a {add 1} | one {add 1}) chain and a half {part 0.5} {unit chain}',
    ],
  },
  /** With or without its unit. */
  { id: 'measured', patterns: ['<spoken> [<feetUnit> | <metreUnit>]', '<wholeSpoken> <feetInches>'] },
  /** Far lengths that may stand behind a number without a unit. */
  {
    id: 'farBehind',
    patterns: [
      '<spoken> (<feetUnit> | <metreUnit> | <chainUnit>)',
      '<wholeSpoken> <feetInches>',
      '(a {add 1} | half {part 0.5} a) chain {unit chain}',
    ],
  },

  {
    id: 'paced',
    patterns: [
      '<spoken:4..30> (paces | pace | (full | big | good) (paces | pace)) {distance.count=#} {distance.by=paces}',
      '<wholeSpoken:4..30> and <third> (paces | pace) {distance.count=#} {distance.by=paces}',
      '<wholeSpoken:4..30> paces and a half {part 0.5} {distance.count=#} {distance.by=paces}',
    ],
  },
  {
    id: 'third',
    patterns: ['(a | one) third {part 0.3333333333333333} | two thirds {part 0.6666666666666666}'],
  },
  {
    id: 'pacedCount',
    patterns: [
      '(paces | [i] paced [it] [at | off | out]) <plain:4..30> {distance.count=#} {distance.by=paces}',
    ],
  },
  {
    id: 'stepped',
    patterns: ['<spoken:8..60> [single] (steps | step) {distance.count=#} {distance.by=steps}'],
  },
  {
    id: 'distance',
    patterns: [
      '<paced> | <stepped>',
      '<far:20..130> {distance.length=#u} {distance.by=length} [(taped | [measured] (by | with) [the] tape | on the tape | tape) {distance.taped=true}]',
      '((taped | measured) [it] [out] | tape | tape distance | tape says | tape reads) [at] (<spoken:20..130> [<feetUnit> | <metreUnit> | <chainUnit>] | <wholeSpoken:20..130> <feetInches>) {distance.length=#u} {distance.by=length} {distance.taped=true}',
    ],
  },
  {
    id: 'farOff',
    patterns: [
      '<far:20..130> {distance.length=#u} {distance.by=length} (away | out | [away] from the (tree | stem | trunk) | to the (tree | stem | trunk))',
    ],
  },
  {
    id: 'distanceBehind',
    patterns: [
      '<paced> | <stepped>',
      '<farBehind:20..130> {distance.length=#u} {distance.by=length}',
      'taped <spoken:20..130> [<feetUnit> | <metreUnit>] {distance.length=#u} {distance.by=length} {distance.taped=true}',
    ],
  },
  /** A distance behind what was sighted; behind "at" or "from" the unit may be left out. */
  {
    id: 'from',
    patterns: [
      '(at | from | distance | standing) <distance>',
      '(at | from | distance) <spoken:20..130> {distance.length=#u} {distance.by=length}',
      '<distanceBehind>',
    ],
  },

  {
    id: 'eyeWord',
    patterns: ["[my | the] (eye [height | level] | eyes | eye's) [is | are] [at]"],
  },
  /** Where the eye stood, behind a distance. */
  {
    id: 'off',
    patterns: [
      '[back | away] from (it | the (tree | stem | trunk | base | butt)) | away | off [the (tree | stem | trunk | butt)] | out | back | to (it | the (tree | stem | trunk))',
    ],
  },
  /** Feet of an eye height: three (kneeling) to seven, so that no distance is taken for one. */
  {
    id: 'eyeFeet',
    patterns: [
      '(three {add 3} | four {add 4} | five {add 5} | six {add 6} | seven {add 7}) [point {point} <n.decimal+> | and <n.fraction>] [(feet | foot) {unit ft}]',
      '(three {add 3} | four {add 4} | five {add 5} | six {add 6} | seven {add 7}) <n.feet>',
      '<feetPair>',
      '(forty {add 40} | fifty {add 50} | sixty {add 60} | seventy {add 70}) [<n.ones>] (inches {unit in} | inch {unit in})',
    ],
  },
  {
    id: 'eyeMetric',
    patterns: [
      'one {add 1} point {point} <n.decimal+> <metreUnit>',
      'one {add 1} (metre {unit m} {point} | meter {unit m} {point}) <hundredths>',
      '(one {add 1} <n.shifted> | (one {add 1} | a {add 1}) hundred {times 100} [and] <n.below100>) (centimetres {unit cm} | centimeters {unit cm})',
    ],
  },
  {
    id: 'eyeBare',
    patterns: [
      'one {add 1} point {point} <n.decimal+>',
      'one {add 1} <n.shifted>',
      '(one {add 1} | a {add 1}) hundred {times 100} [and] <n.below100>',
    ],
  },
  /** "One metre seventy", "one metre sixty five". */
  {
    id: 'hundredths',
    patterns: [
      '(forty {decimal 4} | fifty {decimal 5} | sixty {decimal 6} | seventy {decimal 7} | eighty {decimal 8} | ninety {decimal 9}) [<n.decimal>]',
    ],
  },
  { id: 'eyeValue', patterns: ['<eyeFeet> | <eyeMetric> | <eyeBare>'] },
  { id: 'eye', patterns: ['<eyeWord> <eyeValue> {eye=#u}'] },
  /** The eye before a distance: a metric one must say its unit, or the distance would run into it. */
  { id: 'eyeBefore', patterns: ['<eyeWord> (<eyeFeet> | <eyeMetric>) {eye=#u}'] },

  { id: 'minus', patterns: ['minus | negative | down'] },
  { id: 'plus', patterns: ['plus | up | positive'] },
  { id: 'theBase', patterns: ['[the] (base | bottom | butt)'] },
  {
    id: 'belowOrAbove',
    patterns: [
      '(below [me | my feet | my boots | us] | downhill | lower) {base.by=feet} {base.side=below}',
      '(above [me | my feet | my boots | us] | uphill | higher) {base.by=feet} {base.side=above}',
      'below [my] (eye | eye level) {base.by=eye} {base.side=below}',
      'above [my] (eye | eye level) {base.by=eye} {base.side=above}',
    ],
  },
  /** The base by its height against feet or eye. */
  {
    id: 'baseOnFoot',
    patterns: [
      '<theBase> [is] <baseLength:1..12> {base.length=#u} <belowOrAbove>',
      '<baseLength:1..12> {base.length=#u} <belowOrAbove>',
    ],
  },
  {
    id: 'baseLength',
    patterns: [
      '<small> (<feetUnit> | inches {unit in} | centimetres {unit cm} | centimeters {unit cm} | <metreUnit>)',
    ],
  },
  /** Where the base is, beside a height that needs no angle to it. */
  {
    id: 'base',
    patterns: [
      '<baseOnFoot>',
      '<theBase> [is | at] <minus> <baseAngle:1..30> {base.angle=#-u} {base.by=angle}',
      '<theBase> [is | at] <plus> <baseAngle:1..30> {base.angle=#u} {base.by=angle}',
    ],
  },
  { id: 'baseAngle', patterns: ['<small> <angleUnit>'] },
  {
    id: 'angleUnit',
    patterns: ['degrees {unit deg} | degree {unit deg} | percent {unit pct} | per cent {unit pct}'],
  },
  {
    id: 'leanWay',
    patterns: [
      '(toward me | towards me | my way | toward us | at me) {lean.direction=toward}',
      '(away from me | away | from me) {lean.direction=away}',
      '[to the | to my] left {lean.direction=left}',
      '[to the | to my] right {lean.direction=right}',
    ],
  },
  {
    id: 'lean',
    patterns: [
      '[tip | top | tree | it] (leans | leaning | lean) [about] <leanAmount> [<leanWay>]',
      '[tip | top | tree | it] (leans | leaning | lean) <leanWay> [[about] <leanAmount>]',
    ],
  },
  {
    id: 'leanAmount',
    patterns: [
      '<small:2..15> (<feetUnit> | <metreUnit>) {lean.length=#u}',
      '<small:2..15> (degrees {unit deg} | degree {unit deg}) {lean.angle=#u}',
    ],
  },
  /** A tape laid along the slope, and the angle it lay at. */
  {
    id: 'slopeAngle',
    patterns: ['<minus> <baseAngle:2..30> {slope=#-u}', '[<plus>] <baseAngle:2..30> {slope=#u}'],
  },
  {
    id: 'slopeDistance',
    patterns: [
      'slope (distance | tape) [of | is] <measured:30..130> {distance.length=#u} {distance.by=length} [at | on] [[a] slope [of | is]] <distance/slopeAngle>',
      '[tape] <spoken:30..130> (<feetUnit> | <metreUnit>) {distance.length=#u} {distance.by=length} [slope tape] slope [is | of] <baseAngle:2..30> (up {distance.slope=#u} | down {distance.slope=#-u} | downhill {distance.slope=#-u} | uphill {distance.slope=#u})',
      '<spoken:30..130> (<feetUnit> | <metreUnit>) {distance.length=#u} {distance.by=length} (up (a | the) <baseAngle:2..30> {distance.slope=#u} | down (a | the) <baseAngle:2..30> {distance.slope=#-u}) slope',
    ],
  },
];
