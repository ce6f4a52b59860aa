/** Other words for trees, heights and what puts them right. */
import type { OtherWords } from './rows.ts';

const trees: OtherWords = [
  ["(?:it's|it is|it has|has) (?:got )?(two|three|four) (stems|trunks)", ', $1 $2'],
  [
    '# (?:inches |centimetres )?(?:in|on) the @ (?:stem|trunk|one) and # (?:inches |centimetres )?(?:in|on) the other(?: one| stem)?',
    ', two stems, $1, $3',
  ],
  ["(?:is |it's )?forks?(?:ed)? (?:low|below(?: my| the)? (?:chest|breast|waist)(?: height)?)", ''],
  [
    "(?:tape (?:says|reads|measures) |it's |it is |is )*#( inches| inch| centimetres)?,? (?:in )?(?:circumference|girth|around|round)(?: it| its middle)?",
    'girth $1$2',
  ],
  ['girth (#) metres', 'girth $1 metres'],
  ['# across', 'dbh $1'],
  ['^([^,]+?),? (?:x|times) #(?: of them)?', '$2 $1'],
  ['^# x ', '$1 '],
  ['an? (?:couple|pair)(?: of)?', 'two'],
  ['^each$', ''],
  ['(inches|centimetres|inch|centimetre|#) each', '$1'],
  ['(?:a )?log and a half', 'one and a half logs'],
  [
    '# (?:good |saw |sawtimber )*(?:saw ?logs?|logs?)(?: in (?:it|there|that one|the (?:butt|tree)))?',
    '$1 logs',
  ],
  ['one logs', 'one log'],
  ['an? (?:saw )?log(?: in it)?$', 'one log'],
  ['no (?:saw)?(?:timber|logs)(?: in it)?', 'no logs'],
  ['pulp(?:wood)?(?: only)?', 'no logs'],
  ['spike[- ]?top(?:ped)?', 'dead top'],
  ['(?:make|mark|call) (?:it|that|it all|that all) cull', 'cull'],
  ['all cull', 'cull'],
  [
    '(?:knock|take|knocked|dock|docked|deduct)(?: off)? #(?: percent)?(?: off)?(?: for .+?)?$',
    '$1 percent defect',
  ],
  ['# off for @', '$1 percent defect'],
  ['# percent (?:off(?: for @)?|gone|lost|bad|rotten|rot|waste|unsound)', '$1 percent defect'],
  ['(?:a )?quarter (?:lost|gone|rotten|rot)', 'twenty five percent defect'],
  ['(?:a )?third (?:lost|gone|rotten|rot)', 'thirty three percent defect'],
  ['half (?:of it )?(?:lost|gone|rotten|rot)', 'fifty percent defect'],
  ['(butt rot|heart rot|rot|sweep|crook), # percent$', '$1, $2 percent defect'],
  ['^(?:it is |that is |that one is )?not dead$', 'alive'],
  ['still (?:upright|standing|up)', ''],
  ["(?:top's|top is|top) (?:snapped|broke|broken)(?: off| out)?", 'broken top'],
  ['^(?:in, barely|barely in|just in|in, just|in|inside)$', 'it is in'],
  ['(?<=#),? (?:in|barely in)$', ', it is in'],
  ['^(?:out, barely|barely out|just out|out by (?:#|an? |half ).+|out|outside)$', 'it is out'],
  ["^(?:this one|this|it)(?:'s| is) (?:right )?(?:on|at) the (?:edge|line|border|boundary)$", ''],
  [
    '# (feet|foot|metres) to the (?:middle|centre|center|heart)(?: of (?:it|the tree|the stem))?',
    '$1 $2 to the centre',
  ],
  ['^(?:that|the) (?:last )?(?:one|tree) (?:is|has) (?!an? )', 'it is '],
  ['add (?:it |that |this |this one )?to (?:the )?plot #$', 'on plot $1'],
  ['^add to (?:the )?plot #,? (.+)$', '$2, on plot $1'],
  [
    '^(?:another|one more|a second|a third|and another|and a second)(?: one)?,?(?: of| at)? (?=#)',
    'another ',
  ],
  [' (?:and|then),? (?:another|a second|a third|one more)(?: one)?(?: of| at)? (?=#)', ', another '],
  [
    '^(?:one more|another|another one|and one more)(?: (?:behind|by|near|beside|next to) the @)?, (?=[a-z])',
    '',
  ],
  [
    '^(?:now |first |and )?(?:the |a )?(.+?),? ((?:by|near|behind|beside|in|under|along) the ~|out (?:front|back)),? (.+)$',
    '$1, $4, remark $2',
  ],
  ['^species alone$', ''],
  ['(?:saplings?|poles?)$', ''],
];

const heights: OtherWords = [
  ['^([^,]*#[^,]*), for the ([a-z ]+?)$', 'for the $2, $1'],
  [
    '^(?:i )?(?:went|walked|backed|stepped|stood|standing|am|was|came|got)(?: back| off| out| up| at| away)* (?=# )',
    '',
  ],
  [
    '^(.+?)(?: back| away| out| off)? from the (?!tree|stem|trunk|base|butt|top)([a-z ]+?),? (?:and|till|until|where|when)?,? ?((?:the |my )?stick .+)$',
    'for the $2, $1 $3',
  ],
  [
    '# (paces|steps|feet|foot|metres|yards)(?: back| out| off| away)?(?: from (?:it|the .+?))?,? (?:and |till |until |before |when |where |with )?(?:the |my )?(?:stick|tip|tips|top|tops|end)(?: of (?:it|the stick))? (?:just )?(?:lines? up|lined up|line up|matche[sd]|meets?|met|touche[sd]|is even|even|is on|points?)(?: (?:it|with .+?|up|exactly|the (?:top|tip)))?$',
    '$1 $2, stick lines up',
  ],
  [
    '# (paces|steps|feet|foot|metres|yards)(?: back| out| off| away)?(?: from (?:it|the .+?))?(?: with (?:the|my) tape| on the tape)?,? (?:and |till |until |before |when |where |with )?(?:the |my )?stick (?:just )?(?:covers?|covered|hides?|hid)(?: it| the tree)?(?: exactly)?$',
    '$1 $2, stick covers it',
  ],
  ['stick (?:just )?(?:hides|hid) it', 'stick covers it'],
  ['^clinometer (?:says |reads |shows )?(?=from|#)', ''],
  ['^(?:it |clinometer (?:says |reads )?)?# degrees (?:from|at) ', 'top $1 degrees from '],
  ['^(?:from )?# (yards|feet|foot|metres) and # degrees$', 'top $3 degrees from $1 $2'],
  ['standing off (?=#)', 'from '],
  ['to the (?:bottom|foot|butt)', 'to the base'],
  [
    '(?:i would guess|i guess|guessing|guess|looks like|call it|say|maybe)(?: it is| it at| at| about)* # (foot|feet|metres)(?: tall| high)?$',
    'height $1 $2',
  ],
  ['# (foot|feet|metres) (?:tall|high) by (?:the )?(laser|hypsometer|device|clinometer)', '$3 $1 $2'],
  ['# tall(?: by (?:the )?(laser|hypsometer|device|clinometer))?', 'height $1'],
  ["the (?:foot|base|butt) of (?:it|the tree)(?:'s| is)", 'base'],
  ['^(.+?) is leaning (?:toward|towards|over) the @(?: about)? # (foot|feet|metres)$', 'leans $3 $4'],
  ['leaning (?:toward|towards|over) the @(?: about)? # (foot|feet|metres)$', 'leans $2 $3'],
  ['(?:both )?# (ft|feet|metres) both$', '$1 $2'],
];

const mending: OtherWords = [
  ['^make # an? #$', 'not $1 $2'],
  ['^(?:i tell a lie|my mistake|i misspoke),? (?=#)', 'no '],
  ['^(?:forget|scratch|ignore) (?:what i said about|all about) the (.+?)$', 'delete the $1'],
  ['^add (?:an? )?(?=[a-z]+ )', ''],
  ['^(?:then |and |so )?(?:change|make|turn) (?:it|that)(?: to)? # then$', 'make that $1'],
  ['^then change (?:it|that) to ', 'make that '],
  ["^you(?: have)? got the (.+?) wrong, (?:i meant|it is|it was|it's|should be) ", 'the $1 was '],
  ['^(?:that )?bark is wrong for an? @, ', ''],
  [
    '^(the .+?|tree #) (?:is really|was really|should have been|ought to be|should read|is actually|was actually)(?= )',
    '$1 should be',
  ],
  ['((?:was|is|should be|has) #(?: inches| inch| centimetres| feet| metres)?),? not #$', '$1'],
  ['^(tree #) (?:should be|was) ', '$1 was '],
  ["^(?:the )?(first|second|third) (?:one|tree)(?:'s| is| was| has) (?=# )", 'the $1 one was '],
  ['(was|should be) # logs', '$1 $2 logs'],
  ['^(?:the|that) (.+?) at # (is|was|has|should be)(?= )', 'the $2 $1 $3'],
  [
    '^(?:the |that )?(#(?: inch| inches| centimetres)?|first|second|third|fourth) ([a-z ]+?) (is|was|has|should be)(?: really| actually)? (?!height)',
    'for the $1 $3, it $4 ',
  ],
  [
    '^(?:the |that )?(#(?: inch| inches| centimetres)?|first|second|third|fourth) ([a-z ]+?) (?:is|was|has) (?=height)',
    'for the $1 $3 ',
  ],
  [
    '^(?:delete|scratch|remove|strike|drop|leave out|take out) (?:the |that )(#(?: inch| inches| centimetres)?|first|second|third|fourth) ([a-z ]+?)$',
    'for the $1 $3, delete the tree',
  ],
  ["^(?:don't|do not) (?:keep|count|log) (?:that|it|that one)(?:, .+)?$", 'scratch that'],
  ['^(?:disregard|throw away|throw out|lose|kill|ignore) (?:that|it|that one)(?:, .+)?$', 'scratch that'],
  ['^throw (?:that|it)(?: one)? (?:away|out)$', 'scratch that'],
  [
    "^(?:get rid of|throw out|throw away|leave out|take out|strike|lose|erase|dump|delete|remove|drop|scratch) the (.+?)(?: (?:from the list|off the list|out|from (?:this |the )?plot))?(?:, (?:it|its|it's|cause|because|since|that|we|i|don't)(?: .+)?)?$",
    'delete the $1',
  ],
  [
    '^(?:scratch|delete|forget|undo|drop|strike) (?:all (?:of )?(?:that|it|this)|everything i just said|the whole (?:thing|lot|breath)|that whole thing)$',
    'scratch all of that',
  ],
  ['^delete (?:the )?last(?: one)?$', 'delete the last one'],
  ['^keep the .+? as (?:it is|is|it was)$', 'keep it'],
  ['^(?:only|just) # (foot|feet|paces|steps|metres|yards)(?: off| away| back| out)?$', 'make that $1 $2'],
  ["^(?:it's|it is) in by mistake$", 'scratch that'],
];

export const treeRows = { trees, heights, mending } as const;
