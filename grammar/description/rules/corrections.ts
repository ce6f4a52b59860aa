/** Answers, bare numbers, and everything that takes back or changes what was said. */
import { tellingWords } from '../../../shared/note/species.ts';
import type { Rule } from '../model.ts';

const family = 'Mending';
const lead =
  "(no | sorry | wait | actually | oops | correction | no (it's | it is) | [no | sorry | wait | actually | oops] (make that | make it | i said | i meant | that (tree | one) was | change that to | change it to | should be | that should be | that was | it was | [that | the] last one (was | is)))";

/** A value named by its field: "change the distance to ...", "the distance was ...". */
const naming = (field: string): string =>
  `(change [the | my] ${field} to | [the | my] ${field} (was | should be))`;

export const mendingRules: readonly Rule[] = [
  {
    id: 'mending.number',
    family: 'Answers',
    help: 'A number alone: the answer to what was asked, else the next thing that is missing.',
    sets: ['kind=number'],
    weight: 4,
    patterns: [
      '<number:4..100> {value=#}',
      '<pair:4..20> {value=#} {pair=##}',
      '<number:5..60> (degrees {unit deg} | degree {unit deg} | percent {unit pct} | per cent {unit pct}) {=#u}',
      '<minus> <number:1..30> [degrees {unit deg} | degree {unit deg} | percent {unit pct} | per cent {unit pct}] {=#-u}',
    ],
    examples: [
      { words: 'thirteen', note: { kind: 'number', value: 13 } },
      { words: 'fourteen two', note: { kind: 'number', value: 14.2, pair: [14, 2] } },
      { words: 'ten percent', note: { kind: 'number', value: 10, unit: 'pct' } },
      { words: 'minus four', note: { kind: 'number', value: -4 } },
    ],
  },
  {
    id: 'mending.yes',
    family: 'Answers',
    help: 'Yes.',
    sets: ['kind=answer', 'answer=yes'],
    // "Right" by itself is typed only (`other-words`): aloud it is too near "wrong".
    patterns: [
      "yes | yeah | yep | yup | correct | that's right | that is right | aye | sure | true | yes please | that's fine | affirmative | okay | ok | it's right | that is correct | that's correct | yes that's right",
    ],
    examples: [
      { words: 'yes', note: { kind: 'answer', answer: 'yes' } },
      { words: "that's right", note: { kind: 'answer', answer: 'yes' } },
      { words: 'correct', note: { kind: 'answer', answer: 'yes' } },
    ],
  },
  {
    id: 'mending.no',
    family: 'Answers',
    help: 'No.',
    sets: ['kind=answer', 'answer=no'],
    patterns: [
      "no | nope | nah | wrong | that's wrong | that is wrong | not right | no that's wrong | negative | no thanks",
    ],
    examples: [
      { words: 'no', note: { kind: 'answer', answer: 'no' } },
      { words: 'nope', note: { kind: 'answer', answer: 'no' } },
      { words: "that's wrong", note: { kind: 'answer', answer: 'no' } },
    ],
  },
  {
    id: 'mending.keep',
    family: 'Answers',
    help: 'Keeps the value as it was said, doubt or no doubt.',
    sets: ['kind=answer', 'answer=keep'],
    patterns: [
      "keep (it | that | them) | keep | keep it as [it] is | leave it [as [it] is] | it is what it is | (yes | yep | yeah) keep it | no keep it | keep it anyway | i am sure | i'm sure | i measured it | keep what i said",
    ],
    examples: [
      { words: 'keep it', note: { kind: 'answer', answer: 'keep' } },
      { words: 'keep that', note: { kind: 'answer', answer: 'keep' } },
      { words: 'leave it', note: { kind: 'answer', answer: 'keep' } },
    ],
  },
  {
    id: 'mending.redo',
    family: 'Answers',
    help: 'Drops the value in question: you measure again.',
    sets: ['kind=answer', 'answer=redo'],
    patterns: [
      "[no] measure (again | it again) | i'll measure [it] again | i will measure [it] again | [i'll] do it again | redo it | let me redo (it | that) | let me measure again | try again",
    ],
    examples: [
      { words: 'measure again', note: { kind: 'answer', answer: 'redo' } },
      { words: "i'll measure again", note: { kind: 'answer', answer: 'redo' } },
      { words: 'redo it', note: { kind: 'answer', answer: 'redo' } },
    ],
  },
  {
    id: 'mending.repeat',
    family: 'Answers',
    help: 'The last answer again, slower.',
    sets: ['kind=answer', 'answer=repeat'],
    patterns: [
      'say (again | (that | it) again [slower]) | repeat | repeat that | repeat the last (one | answer) | again | come again | pardon | what | what did you say | what was that [again]',
    ],
    examples: [
      { words: 'say again', note: { kind: 'answer', answer: 'repeat' } },
      { words: 'repeat that', note: { kind: 'answer', answer: 'repeat' } },
      { words: 'what was that', note: { kind: 'answer', answer: 'repeat' } },
    ],
  },
  {
    id: 'mending.dismiss',
    family: 'Answers',
    help: 'Leaves the question open and goes on.',
    sets: ['kind=answer', 'answer=dismiss'],
    patterns: [
      "never mind [that] | skip | skip it | skip that | later | forget it | don't know | i don't (know | remember) | not now | doesn't matter | cancel",
    ],
    examples: [
      { words: 'never mind', note: { kind: 'answer', answer: 'dismiss' } },
      { words: 'skip it', note: { kind: 'answer', answer: 'dismiss' } },
      { words: 'not now', note: { kind: 'answer', answer: 'dismiss' } },
    ],
  },
  {
    id: 'mending.pick',
    family: 'Answers',
    help: 'Picks what a question offered.',
    sets: ['kind=pick'],
    patterns: [
      '[in] degrees {what=deg}',
      '[in] (percent | per cent) {what=pct}',
      '[in] topo {what=topo}',
      '[to] [the] (centre | center | middle) {what=centre}',
      '[to] [the] [near] face {what=face}',
      '[of] [the] ground {what=ground}',
      '[of] [the | my] sight {what=sight}',
      '[keep] [the] (first [one] | former) {what=first}',
      '[keep] [the] (second [one] | latter) {what=second}',
      '[the] third [one] {what=third}',
      '(neither | none of (them | those) | neither of (them | those) | none) {what=neither}',
      '[the] <tellingWord> {what=named} [one]',
    ],
    examples: [
      { words: 'percent', note: { kind: 'pick', what: 'pct' } },
      { words: 'centre', note: { kind: 'pick', what: 'centre' } },
      { words: 'the ground', note: { kind: 'pick', what: 'ground' } },
      { words: 'the first one', note: { kind: 'pick', what: 'first' } },
      { words: 'neither', note: { kind: 'pick', what: 'neither' } },
      { words: 'the white one', note: { kind: 'pick', what: 'named', word: 'white' } },
    ],
  },
  { id: 'tellingWord', patterns: tellingWords.map((word) => `${word} {word=${word}}`) },
  {
    id: 'mending.scratch',
    family,
    help: 'Takes back the last thing said, the last few, a tree, a plot, or one of their values.',
    sets: ['kind=scratch'],
    weight: 2,
    patterns: [
      '<scratchWord> [that [one] | it | (the | that) last (one {back=1} | note | thing) | last | this [one] | what i said]',
      '<scratchWord> (all of (that | it) | all that | everything i just said) {what=breath}',
      '(forget (that | that one | the last one {back=1}) | leave (it | that) out | cancel that | take (that | it) back | cross (that | it) out)',
      '(<scratchWord> | undo) the last (two {count=2} | three {count=3} | four {count=4} | five {count=5} | six {count=6} | seven {count=7} | eight {count=8} | nine {count=9} | ten {count=10}) [trees | notes | ones]',
      '(<scratchWord> | forget) (the | that | my) [last] <scratchable>',
      '<scratchWord> (tree [number] <count:1..60> {tree=#} | plot [number] <count:1..60> {plot=#} | <legNumber>)',
      '<scratchWord> (the | that) [last] <of/species>',
      '(leave | take) (the | that) <of/species> out',
    ],
    examples: [
      { words: 'scratch that', note: { kind: 'scratch' } },
      { words: 'scratch the last two', note: { kind: 'scratch', count: 2 } },
      { words: 'scratch tree four', note: { kind: 'scratch', tree: 4 } },
      { words: 'delete plot two', note: { kind: 'scratch', plot: 2 } },
      { words: 'scratch all of that', note: { kind: 'scratch', what: 'breath' } },
      { words: 'scratch the height', note: { kind: 'scratch', what: 'height' } },
      { words: 'delete the beech', note: { kind: 'scratch', of: { species: 'beech' } } },
    ],
  },
  {
    id: 'scratchable',
    patterns: [
      'tree {what=tree} | leg {what=leg} | height {what=height} | (diameter | dbh | girth) {what=diameter} | species {what=species} | logs {what=logs} | remark {what=remark} | plot {what=plot} | pace {what=pace} | eye [height] {what=eye}',
    ],
  },
  { id: 'scratchWord', patterns: ['scratch | strike | delete | remove | drop | take off'] },
  {
    id: 'mending.undo',
    family,
    help: 'Turns round the last thing that was done; after a taking back, what was taken back is there again.',
    sets: ['kind=undo'],
    patterns: ['undo [that | it | the last (one | thing)]', 'undo what i (said | did)'],
    examples: [
      { words: 'undo', note: { kind: 'undo' } },
      { words: 'undo that', note: { kind: 'undo' } },
      { words: 'undo the last one', note: { kind: 'undo' } },
    ],
  },
  {
    id: 'mending.restore',
    family,
    help: 'Puts back what was taken back: the last thing, a tree or a plot.',
    sets: ['kind=restore'],
    patterns: [
      '(put | bring) (it | that | them | that one) back [again | in]',
      'redo',
      'restore [it | that | the last one]',
      '(restore | put back | bring back) (tree [number] <count:1..60> {tree=#} | plot [number] <count:1..60> {plot=#} | <legNumber>)',
      '(put | bring) (tree [number] <count:1..60> {tree=#} | plot [number] <count:1..60> {plot=#}) back',
    ],
    examples: [
      { words: 'put it back', note: { kind: 'restore' } },
      { words: 'restore tree two', note: { kind: 'restore', tree: 2 } },
      { words: 'redo', note: { kind: 'restore' } },
    ],
  },
  {
    id: 'mended',
    patterns: [
      '(<spoken:4..100> | <small:4..100> | <decimalPair>) {number=#u}',
      '<spoken:10..130> (<feetUnit> | <metreUnit> | chains {unit chain} | chain {unit chain} | <angleUnit>) {number=#u}',
      '<minus> <small:1..30> [<angleUnit>] {number=#-u}',
      '<wholeSpoken:10..130> <feetInches> {number=#u}',
      'a {add 1} chain {unit chain} {number=#u}',
      'taped <measured:20..130> {distance.length=#u} {distance.by=length} {distance.taped=true}',
      '<paced> | <stepped> | <eye> | [a | an] <facts/species> | <facts/saidDiameter> | <facts/logs> | <facts/condition+> | <facts/defectAlone>',
    ],
  },
  {
    id: 'telling',
    patterns: [
      "that's | that is | it's | it is | that (one | last one | tree) is | that (one's | last one's)",
    ],
  },
  /** A species with what else was said of it, of the tree in hand. */
  {
    id: 'described',
    patterns: [
      '[a | an] <facts/species> <facts/anyDiameter> [<facts/tail>]',
      '[a | an] <facts/species> <facts/tail>',
    ],
  },
  {
    id: 'mending.change',
    family,
    help: 'Puts the last value right, or a named one, or that of a tree.',
    sets: ['kind=change'],
    weight: 4,
    patterns: [
      `(${lead} | [change] tree [number] <count:1..60> {tree=#} (was | is | has | should be | to)) <mended>`,
      `(${lead} | <telling>) <described>`,
      '(<telling> | tree [number] <count:1..60> {tree=#} (was | is)) [a | an] [big | nice] <facts/species> [not [a | an] <of/species>]',
      // Named by what it is; the verb keeps it apart from a tree that begins.
      '((the | that | my) <of/species> (was | is | has | should be) | <of/species> (was | should be)) <mended>',
      'change (the | that) <of/species> to <mended>',
      'move (tree [number] <count:1..60> {tree=#} | it | that | this tree) to plot <plainCount:1..60> {facts.plot=#}',
      'tree [number] <count:1..60> {tree=#} (is | was | belongs) (on | to) plot <plainCount:1..60> {facts.plot=#}',
      '(no | sorry | wait | actually | oops | correction | i said | i meant | make that | make it) <mended> (not | no longer) <plain:4..80> {was=#}',
      '(no | sorry | wait | actually | oops | correction | i said | i meant) [a | an] <facts/species> (not | no longer) [a | an] <of/species>',
      // "Not red oak fourteen" would change a species into a number.
      '[no | sorry | wait | actually | oops | i said] not (<plain:4..80> {was=#} [but] <mended> | [a | an] <of/species> [but] [a | an] <facts/species>)',
      '(that | it | that one | that height) (goes | belongs | is) (on | with | to | for) (the <of/species> | tree [number] <count:1..60> {tree=#}) {height=true}',
      "that's (on | with | for) (the <of/species> | tree [number] <count:1..60> {tree=#}) {height=true}",
      `${naming('(distance | paces)')} (<distance> | <spoken:20..130> {distance.length=#u} {distance.by=length})`,
      `${naming('eye [height]')} <eyeValue> {eye=#u}`,
      `${naming('pace')} <paceLength:4.5..6> {pace=#u}`,
      `${naming('(diameter | dbh)')} <diameterNumber> [<inchUnit>] {facts.diameter=#u}`,
      `${naming('girth')} <girthNumber> {facts.diameter=#u} {facts.diameter.girth=true}`,
      `(${naming('species')} | [the] species is) <facts/species>`,
      `${naming('logs')} <facts/logs>`,
      `${naming('(status | it)')} <facts/status>`,
      "[it was | that was | that's | that is | it's | oops that's] <paced> not <plain:4..80> {was=#} [paces]",
      "[it was | that was | that's | that is | it's | oops that's] <spoken:4..80> {number=#u} not <plain:4..80> {was=#}",
      '<lean>',
      '<base>',
    ],
    examples: [
      { words: 'no nine', note: { kind: 'change', number: { value: 9 } } },
      { words: 'make that nine paces', note: { kind: 'change', distance: { by: 'paces', count: 9 } } },
      { words: 'i said nine', note: { kind: 'change', number: { value: 9 } } },
      { words: 'that was red maple', note: { kind: 'change', facts: { species: 316 } } },
      {
        words: 'tree four was sixteen inches',
        note: { kind: 'change', tree: 4, facts: { diameter: { value: 16, unit: 'in' } } },
      },
      { words: 'not eleven twelve', note: { kind: 'change', was: 11, number: { value: 12 } } },
      {
        words: 'change the beech to red oak',
        note: { kind: 'change', of: { species: 'beech' }, facts: { species: 833 } },
      },
      { words: 'that goes with the beech', note: { kind: 'change', of: { species: 'beech' }, height: true } },
      { words: 'move tree three to plot two', note: { kind: 'change', tree: 3, facts: { plot: 2 } } },
      { words: 'change species to beech', note: { kind: 'change', facts: { species: 'beech' } } },
      {
        words: 'leans six feet toward me',
        note: { kind: 'change', lean: { length: { value: 6, unit: 'ft' }, direction: 'toward' } },
      },
      {
        words: 'base four feet below me',
        note: { kind: 'change', base: { by: 'feet', length: { value: 4, unit: 'ft' }, side: 'below' } },
      },
    ],
  },
];
