/**
 * What people type in other words than the description's own: short forms, the same thing said another way, and words
 * that say nothing. Typed text that is not read as it stands is read in these words (`grammar/reading/plainly.ts`); the
 * automaton, and with it the ear, knows none of them, so they cost neither arcs nor hearing.
 *
 * A row is a pattern over canonical words (`normalise`) and what to read instead. `#` is a number of one or more words,
 * `@` any one word, `~` a word that the description does not know, `%` one of them that was written with a capital: each is
 * taken up again as `$1`, `$2`, ...; the rest is a regular expression. It begins and ends at the border of a word; `^` and `$` are the ends of a clause. Rows are applied
 * in their order, behind "remark" none. Short forms and phrases: common practice, no source.
 */

/** A pattern, and what to read instead of it. */
export type OtherWords = readonly (readonly [pattern: string, instead: string])[];

/** What is to be written down as it was said. */
const remarks: OtherWords = [
  ['^(?:the |that )?([a-z]+(?: [a-z]+)?) has (?:got )?((?:an? |some )?~(?: .*)?)$', 'for the $1, remark $2'],
  ['^(?:add a (?:note|remark)|note to self|make a (?:note|remark)|take a note),? (?:that )?', 'remark '],
  ['^(?:put|write|jot|note) (?:down |this down )?that ', 'remark '],
  ['^(?:put|make|add) (?:down )?an? (?:note|remark) (?:on|for|about|to) the (.+?), ', 'for the $1, remark '],
  ['^(?:flag|mark|tag) the (.+?) as (?:an? )?(?!dead|cull|live)', 'for the $1, remark '],
  [
    "^the (.+?)(?:'s| is| has)(?: got)? (.+?), (?:make|add|take|put down) an? (?:remark|note)$",
    'for the $1, remark $2',
  ],
];

/** Short forms of single words, wherever they stand. */
const shortForms: OtherWords = [
  ['btw', ''],
  ['strat', 'stratum'],
  ['(?:scrib|scr)', 'scribner'],
  ['mbf', 'board feet'],
  ['(?:his|their)', 'my'],
  ["(?:that'd be|that would be|that'll be)", "that's"],
  ['(# (?:inches|inch|centimetres)?) ?wide', '$1 through'],
  ["(?:i|i'm|i am) gonna", 'i will'],
  ['(?:points|pts)', 'plots'],
  ['(?:pt|p|pl|plt) (?=#)', 'plot '],
  ['^point (?=#)', 'plot '],
  ['(?<=this |that |the |on |at |close |end |finish |next |last |same |new |to |for )point', 'plot'],
  ['(tenth|fifth|quarter|half|twentieth) acres', '$1 acre'],
  ['^t # (?=[a-z])(?!height|h |ht|should|was|is|has|stick|at|from|logs|inch|cm)', ''],
  ['(?:^|(?<= ))t (?=#)', 'tree '],
  ['ba', 'basal area'],
  ['(?:tpa|trees to the acre)', 'trees per acre'],
  ['(?:tph|stems ha)', 'trees per hectare'],
  ['(?:bdft|bd ft|bf)', 'board feet'],
  ['vol', 'volume'],
  ['(area|volume|feet|trees|stems|tons|cords|biomass|carbon) (?:ac|acres)', '$1 per acre'],
  ['(area|volume|feet|trees|stems|tons|cords|biomass|carbon) (?:per )?acre$', '$1 per acre'],
  [
    '(area|volume|feet|trees|stems|tons|cords|biomass|carbon|metres) (?:per )?(?:ha|hectares|hectare)$',
    '$1 per hectare',
  ],
  ['m (?:two|three) ha', 'per hectare'],
  ['# metres two', '$1 square metres'],
  ['(?:sq m|sqm|square m)', 'square metres'],
  ['(?:avg|ave)', 'average'],
  ['spp', 'species'],
  ['del', 'delete'],
  ['w', 'with'],
  ['thru', 'through'],
  ['samp', 'sampling'],
  ['err', 'error'],
  ['(?:hypso|vertex)', 'hypsometer'],
  ['(?:clino|phone|app)', 'clinometer'],
  ['bl (?=oak|cherry|walnut|spruce|locust|gum|ash|birch)', 'black '],
  ['wh (?=oak|pine|ash|spruce|birch|fir|cedar)', 'white '],
  ['r (?=oak|pine|maple|spruce)', 'red '],
  ['y (?=birch|poplar)', 'yellow '],
  ['(?:n|northern) red(?! oak|pine|spruce)', 'northern red oak'],
  ['n trees', 'how many trees'],
  ['g total', 'total basal area'],
  ['r(?: is)? (?=#)', 'radius '],
  ['d(?: is)? (# (?:metres|feet))', 'from $1'],
  ['d(?: is)? (?=#)', 'dbh '],
  ['h(?: is)? (?=#)', 'height '],
  ['# (?:p|pc)(?=,|$)', '$1 paces'],
  ['# st(?=,|$)', '$1 steps'],
  ['height # (paces|steps)', '$1 $2'],
  ["(?:whats|wuts|what's|what're)", 'what is'],
  ["how's", 'how is'],
  ["what've", 'what have'],
  ["we've", 'we have'],
  ["i've", 'i have'],
  ["i'd", 'i would'],
  ["she's|he's", "it's"],
  ["they're|there're", 'there are'],
  ['thats', "that's"],
  ["there's|theres", 'there is'],
  ['(?:she|he)', 'it'],
  ['(?:her|him)(?! own)', 'it'],
  ["(?:aint|ain't|isnt)", "isn't"],
  ['(?:metric|metres|meters) (?:please|from here|from now on)', 'metric'],
];

/** Species in two or more letters, before a diameter. */
const shortSpecies: OtherWords = (
  'ro red oak|wo white oak|bo black oak|so scarlet oak|co chestnut oak|yp yellow poplar|rm red maple|sm sugar maple|' +
  'yb yellow birch|pb paper birch|bb black birch|bc black cherry|ch cherry|wa white ash|ab american beech|be beech|eh eastern hemlock|' +
  'wp white pine|rp red pine|vp virginia pine|pp ponderosa pine|lp loblolly pine|sp scots pine|ns norway spruce|rs red spruce|' +
  'ws white spruce|bs black spruce|bf balsam fir|df douglas fir|gf grand fir|nf noble fir|wh western hemlock|rc western redcedar|wrc western redcedar|' +
  'ss sitka spruce|bw basswood|bg black gum|sg sweetgum|sh shagbark hickory|ph pignut hickory|mh mockernut hickory|bh bitternut hickory|sy sycamore|bl black locust|ra red alder|qa quaking aspen'
)
  .split('|')
  .map((row) => [`^${row.split(' ')[0]} (?=#)`, `${row.split(' ').slice(1).join(' ')} `] as const);

const people: OtherWords = [
  ['^% is (pace|step|stride)(?: is| of| runs)? (?=#)', 'crew $1, my $2 is '],
  ['^% is (?:eye|eyes|eye height)(?: is| are| at)* ?(?=#)', 'crew $1, eye '],
  [
    '^(?:this is|you(?: have)? got|you are talking to) %(?: here| now| again| back| talking| speaking| calling| on the book)*$',
    'crew $1',
  ],
  ["^(?:it's|it is) %(?: here| now| again| back| talking| speaking| calling)+$", 'crew $1'],
  [
    '^% (?:here|back again|back|again|calling|talking|speaking|on the book)(?: now| again| here)*$',
    'crew $1',
  ],
  ["^%(?:'s| is) (?:gone|off|out|away|done)(?: [^,]*?)?, (?:it's |it is |this is |and )?(?=crew )", ''],
  ['^(?:swap|swap back|swapping|switch|switching|over to %), (?=crew )', ''],
  ['^crew(?: today)? is % and %, (?=crew )', ''],
  ['^crew(?: today)? is % and %$', 'crew $1 and $2'],
  ["(?<=crew [a-z]+), %(?:'s| is| has)(?: got)? the (?:tape|stick|prism|pole|pencil|caliper|calipers)$", ''],
  ["^(?:now )?(?:it's |it is )?% (?:is )?turn(?: now)?$", 'crew $1'],
  ['^the @ is here, %(?:, .*)?$', 'crew $2'],
];

const settings: OtherWords = [
  [
    "(?:my )?(pace|paces|step|steps|stride|strides)(?:'s| is| are)? (?:runs?|goes|measures?|comes? to|comes? out at|about|around|roughly)(?: about)? (?=#)",
    'my $1 is ',
  ],
  ['(?:i|my legs) (?:pace|step|stride) (?:at |about )?(?=#)', 'my step is '],
  [
    "(?:my |the )?(?:eyes?|eye height|eye level|eyeline)(?:'s| is| are| sits| sit| stands)?(?: at| about| around)*(?: about)? (.+?) (?:off|from|above) the (?:ground|dirt|floor)",
    'eye $1',
  ],
  ['(?:from )?the ground to my eyes?(?: is)?', 'eye'],
  ['(?:i )?stand # (inches|feet|foot|centimetres) to the eyes?', 'eye $1 $2'],
  ["^(?:my |the )?(?:eyes?|eye height|eye level)(?:'s| is| are)?(?: at)?(?: about| around) (?=#)", 'eye '],
  ["^i(?:'m| am) (?:taller|shorter), eyes? (?:at|is) ", 'eye '],
  ["(?:put |do |set |keep )?everything(?:'s| is)?(?: in)? metric", 'metric'],
  ["(?:put |do |set |keep )?everything(?:'s| is)?(?: in)? (?:feet and inches|feet|imperial)", 'units feet'],
  ['^(?:back to |in )?feet and inches', 'units feet'],
  ['^(?:back to|switch (?:me |us )?(?:back )?to) (?:feet|imperial)$', 'units feet'],
  ['^(?:back to|switch (?:me |us )?(?:back )?to|in) (?:metres|meters|metric)(?: a minute)?$', 'metric'],
  [
    '^(?:my )?(?:stick is as long as my arm|stick and arm(?: are)?(?: both)?), # (inches|centimetres)$',
    'equal stick',
  ],
];

const places: OtherWords = [
  [
    "^(?:it is|it's) (?:the )?(.+?) (?:that )?(?:we are|we're) (?:doing|in|on|at)(?: today)?$",
    'new stand $1',
  ],
  [
    "^(?:we are|we're|i am|i'm|working)?(?: in| on| at)? ?the (.+?) (?:tract|woodlot|parcel|property|sale|unit|compartment|lot)(?: today| now)*$",
    'new stand $1',
  ],
  [
    '^(?:stand|block|compartment|tract|unit|parcel|woodlot) (?:is (?:called |named )?|called |named |name is )',
    'new stand ',
  ],
  [
    "^(?:i am going to |i'm going to |i will |let's )?call this (?:piece|place|stand|patch|block)(?: the)? ",
    'new stand ',
  ],
  ['^(?:new )?stratum, ', 'new stratum '],
  ['(new stand .+?), ((?:upper|lower|north|south|east|west|middle) ~?.*?)$', '$1, new stratum $2'],
];

const plots: OtherWords = [
  ['(plot #), go$', '$1'],
  [
    "^(?:set up|starting|start|start on|begin|beginning|opening|open up|on to|onto|over to|going to|moving to|move to|moving on to|next is|we are on|we are at|i am on|i'm on|i'm at|we're on|we're at|now|here is|this is|now number|at) (?:my |the )?(?=plot #)",
    '',
  ],
  ['^(?:now |open |start |begin |on to |onto )(?:number )?#$', 'plot $1'],
  ['^(?:starting|start|opening|open|begin|this is) my first plot$', 'plot one'],
  ['^(?:start|open|begin)(?: us)? an? (.+? (?:acre|hectare)) plot$', 'new plot $1'],
  [
    '^(?:close|end|finish|wrap|pack|shut)(?: up)? (?:plot )?# (?:and|then),? (?:open|start|begin|on to|move to|go to) (?:plot )?#',
    'close plot $1, plot $2',
  ],
  ['^(?:close|end|finish|wrap)(?: up)? #(?=,|$)', 'close plot $1'],
  ['^(?:open|start|begin) (?:up )?#(?= but|,|$)', 'plot $1'],
  ['^same size$', ''],
  [
    "^(?:that's|that is|that's it|that is it|that's all|that is all|that does it|that wraps up|that closes|that finishes|all done|done|finished|we are done|i am done|i'm done)(?: (?:it|all|of them|them|with))*(?: (?:for|on|with|in|up|at))? (?:here|this one|this plot|the plot|plot(?: #)?|#)$",
    'close plot',
  ],
  ['^(?:close|end|finish|wrap|shut)(?: it| her| this one| this| up| out| here| down)+$', 'close plot'],
  ['^(?:that wraps up|that closes|that finishes) (?:plot )?#$', 'close plot $1'],
  ['^(?:done|finished|all done) here$', 'close plot'],
  ['^(?:and )?(?:on|move on|moving on|over|off)? ?to the next(?: one| plot)?$', 'next plot'],
  ['^plot # (?:end|over|complete)$', 'close plot $1'],
  [
    '^(plot #)(?:,| is| has)?(?: a clearing,?)? ?(?:nothing in(?: it)?|nothing(?: here| there| on it)?|not a (?:single )?tree(?: in it| on it| here)?|no trees?(?: in it| on it| in)?|zero trees)$',
    '$1 is empty',
  ],
  [
    '^(?:carry on with|continue with|continue|resume|back to|back on|go back to|return to|and back to) (?:plot )?#(?=,|$)',
    'back to plot $1',
  ],
  ['^(plot #),? (?:but )?(?:use |with |using |by )?(?:an? )?# factor(?: prism)?', '$1 factor $3'],
  [
    "^(?:i am |i'm |we are |we're )?(?:using|running|on)? ?an? # factor(?: prism| gauge)?(?: all day| today| here| throughout)?$",
    'factor $1',
  ],
  ['^# baf(?: prism| gauge)?$', 'factor $1'],
  [
    '^(?:fixed )?plots(?: are)?(?: circles| round| circular| rounds)?,? (?:of )?(?:an? )?(?=radius|# (?:metre|metres|feet|foot) radius)',
    'plots ',
  ],
  ['# (?:metre|metres|meter) radius', 'radius $1 metres'],
  ['# (?:foot|feet) radius', 'radius $1 feet'],
  ['(?<!plot )# radius(?! #)', 'radius $1'],
  [
    '(acre|acres|hectare|hectares|metres) (?:rounds|circles|circular plots|plots each|each|round plots)',
    '$1 plots',
  ],
  ['^((?:a |one )?(?:tenth|fifth|quarter|half|twentieth|fiftieth) acre)(?: plots)?, radius .+?$', '$1 plots'],
  [
    '(plot # (?:should be|was|is)) (?:a |one )?(fifth|tenth|quarter|half|twentieth|fiftieth)$',
    '$1 a $3 acre',
  ],
  ["(?:and )?(?:it's|it is) (?:steep|sloping|on a slope),? (?=#)", 'slope '],
  ['slope is #', 'slope $1'],
  ['(slope # percent|slope # degrees)(?: here| on this one)$', '$1'],
  [
    "(?:that(?:'ll| will) do(?: me| us| it)?|that's all|that is all|all done|we are done|done)(?: (?:for|with))?(?: (?:today|the day|now|the night))?(?:, close up)?(?:, thank you|, thanks)?$",
    'stop listening',
  ],
];

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

const quantity =
  '(basal area(?: per acre| per hectare)?|volume(?: per acre| per hectare)?|board feet(?: per acre)?|trees per acre|trees per hectare|biomass|carbon|mean height|average height)';
const asking: OtherWords = [
  ['^plots left(?: for # percent)?$', 'how many more plots for $1 percent'],
  ['^cv$', 'spread'],
  [
    '^what (?:was|is) the (.+?) is (?:diameter|height|dbh|girth)(?: in the end| again| now)?$',
    'what was the $1',
  ],
  ['^which (?:measurement|height|tree|one) is (?:the )?(?:worst|least sure|most doubtful)$', 'any doubts'],
  ['^(?:and )?(?:tell me|show me|give me|let me know|do you know) (?=how|what|which|who)', ''],
  ['^(?:and )?(?:in|by|with) (international|doyle|scribner)$', 'volume per acre by $1'],
  ['volume per acre (international|doyle|scribner)', 'volume per acre by $1'],
  ['(?:mean|average) (basal area|volume|biomass|carbon|board feet)', '$1'],
  [
    `^(?:how is|how are|what is|what about|how about|so)(?: the| my| our)? ${quantity}(?: looking| doing| coming| coming along| at)?$`,
    '$1',
  ],
  [`^(?:what is|what was|give me|how much)(?: the| my| our)? ${quantity}`, '$1'],
  [
    '(?: for| of| in| over| on)? (?:all (?:the )?plots|the whole stand|the stand|the whole lot|the lot|all of it|all of them|them all|everything|the whole block)$',
    '',
  ],
  ['on plots? #', 'on plot $1'],
  [
    '^(?:what (?:have|did) (?:i|we) (?:got|get|have|count)?|what is|what do (?:i|we) have|how are we doing)(?: so far)? (?:on|in|for|at) (?:this|the) plot$',
    'this plot',
  ],
  ['^(?:what (?:have|did) (?:i|we) (?:got|get)|what do (?:i|we) have)(?: here| so far)+$', 'this plot'],
  [
    'how many (?:trees |stems )?(?:have |did |do )?(?:we|i)(?: have)? (?:counted|count|got|get|done|measured|measure|tallied|have)(?: so far| up to now| already)?',
    'how many trees',
  ],
  ['^how many (?:in|trees in|stems)$', 'how many trees'],
  ['^(?:the )?count for this plot$', 'how many trees on this plot'],
  ['^plots done$', 'how many plots'],
  [
    '(?:how many )?(?:stems|trees) (?:per|to the|to an?|an?) (acre|hectare)(?: does that make| is that| have we got| do we have)?',
    'trees per $1',
  ],
  [
    '^which (?:species|tree|kind) has the most (?:wood|volume|timber|board feet)(?: in it)?$',
    'volume by species',
  ],
  [
    'how many (?:different )?species(?: have (?:we|i)(?: met| got| seen| found)?| are there| did we get| so far)*',
    'which species',
  ],
  [
    '^(?:growing stock|cubic volume|volume in cubic metres|m three)(?: (?:in )?(?:per hectare))?$',
    'cubic metres per hectare',
  ],
  ['^(?:sampling )?error (?:on|of) ', 'sampling error of '],
  ['(sampling error) on', '$1 of'],
  [
    "^(?:how many (?:more )?(?:plots|more) |plots )(?:till|until|before|to get|to reach|for|do (?:i|we) need(?: to get to| for| to reach)?|to) ?(?:i'm at |i am at |we're at |we are at |we hit |i hit |to |me |us |an? )*# percent(?: error)?$",
    'how many more plots for $1 percent',
  ],
  ['^(?:i|we) need # percent(?: error)?, how many more plots$', 'how many more plots for $1 percent'],
  ['^how many (?:more )?plots (?:do i still owe you|are left|to go|still)$', 'how many more plots'],
  ['^(?:read|say)(?: me)?(?: back)? plot #(?: back)?$', 'list trees on plot $1'],
  [
    '^(?:list|read|show)(?: me)?(?: back| out)?(?: all| all of)?(?: the| my)? trees(?: with (?:their )?heights?)?$',
    'list trees',
  ],
  ['^(?:list|show|read)(?: me)?(?: back| out)?(?: all)?(?: the| only)* (.+?)(?: only)?$', 'list the $1'],
  [
    '^(?:what have you got|what do you have|what did i (?:give|put|say|log)|what is there) (?:under|for|on|as) the (.+?)$',
    'what was the $1',
  ],
  [
    '^(?:what have you got|what do you have|what did i (?:give|put|say)) (?:under|for|on) (.+?)$',
    'what was the $1',
  ],
  ['^(?:mean|average) (height|diameter|dbh) (?!of|by|here|on|in|for|so|today)(.+?)$', 'mean $1 of $2'],
  [
    '^(?:how tall is |how high is )?the tallest (.+?),? and (?:which|what) plot (?:is it|it is|is that) (?:in|on)$',
    'tallest $1',
  ],
  ['^how (?:tall|high) is the tallest (.+?)$', 'tallest $1'],
  [
    '^which (?:one |tree )?is (?:my |the |our )?(?:biggest|thickest|fattest|largest)(?: around| through)?$',
    'biggest tree',
  ],
  ['^(?:my |the )?(?:biggest|thickest|fattest|largest)(?: tree)? around$', 'biggest tree'],
  [
    '^which is (?:the )?(?:taller|bigger|thicker|higher),? (?:the )?(.+?) or (?:the )?(.+?)$',
    'what was the $1, what was the $2',
  ],
  [
    '^(?:so )?(?:how (?:tall|high) does that make it|what does that (?:make|give)(?: it)?|what is that make it|which is it|so which is it|what did that come to|what does that come to)$',
    'how tall is it',
  ],
  [
    '^(?:is|does|are you|did) (?:that|it|you)?.*?(?:counting|count|include|including|with|adding|add) my(?: own)?(?: eye)? height.*?$',
    'why',
  ],
  [
    "^(?:that can't be right|that cannot be right|can that be right|is that right|that doesn't look right|is that ok|that seems (?:off|wrong|high|low))(?:,? (?:can|is|does) it)?$",
    'why',
  ],
  [
    '(?:how many )?board feet(?: do)?(?: you reckon| you think)?(?: is| are)?(?: there)? (?:in|of|for) (?:that|the|this) (.+?)$',
    'board feet of $1',
  ],
  ['^(?:how many )?(?:snags|dead ones|dead)$', 'how many dead trees'],
  ['how many (?:snags|dead ones)', 'how many dead trees'],
  [
    '^(?:sum (?:it|that|everything|the day|us) up|sum up(?: the day| everything| it all)?|give me the (?:rundown|summary)|the rundown)$',
    'totals',
  ],
  [
    '^(?:what were |what was |read (?:me )?(?:back )?)?(?:the )?last (two|three|four|five|six)(?: things| notes| ones)?(?: that)?(?: (?:~|i|we) (?:called|said|gave|told you))?$',
    'read back the last $1',
  ],
  [
    '^(?:how does|how is|how do) .+? compare (?:to|with) .+?(?:, volume wise| for volume| in volume)$',
    'volume per acre by stratum',
  ],
  ['^did you (?:write|get|keep|put|note)(?: down)?(?: that| the| my)? slope(?: down)?$', 'this plot'],
  ['(board feet|volume|basal area|trees)( per acre| per hectare)? for (.+?)(?: alone| only)?$', '$1$2 of $3'],
  ['^say (?:it|that)(?: again)? slower$', 'slower'],
  ['^say again the (first|second|third|last) (?:one|tree)$', 'what was the $1 one'],
  ['^(?:hush|zip it|hush now|shush)$', 'quiet'],
  ['^(?:you can talk again|talk again|you can speak again)$', 'speak'],
];

export const otherWords: OtherWords = [
  ...remarks,
  ...shortForms,
  ...shortSpecies,
  ...settings,
  ...people,
  ...places,
  ...plots,
  ...asking,
  ...mending,
  ...heights,
  ...trees,
];

/** What people put before a thing that they want done: it may be left out of whatever follows. */
export const leadIns: readonly string[] = [
  ...'uh um umm uhh hm hmm er erm ah oh ok okay alright well hey hi hello howdy please pls thanks actually really'.split(
    ' ',
  ),
  'thank you',
  'go ahead and',
  "let's",
  'let me',
  'let us',
  'can you',
  'could you',
  'would you',
  'can we',
  'i want to',
  'i will',
  "i'd like to",
  'i would like to',
  'i need to',
  'you can',
  'if you would',
  'by the way',
  'good morning',
  'good afternoon',
  'you may',
];

/** Words and phrases that say nothing: wherever they stand beside what tells something they may be left out. */
export const emptyWords: readonly string[] = [
  ...leadIns,
  ...'so now then just lol oops sorry basically also though anyway yeah yep wait look listen right'.split(
    ' ',
  ),
  'ah shoot',
  'oh shoot',
  'hang on',
  'hold on',
  'if that helps',
  'for me',
  'to be exact',
  'i think',
  'i believe',
  'i guess',
  'i reckon',
  "i'd say",
  'i would say',
  "let's say",
  'looks like',
  'looks to be',
  'looks about',
  'or so',
  'more or less',
  'this time',
  'after all',
  'instead',
  'so far',
  'all told',
  'in here',
  'over here',
  'right here',
];

/** Words that only paint: articles and adjectives that change no number and no name. */
export const lightAdjectives: readonly string[] = [
  ...'a an the got have here there big old little small nice good tall huge fat skinny about around roughly'.split(
    ' ',
  ),
  ...'only still maybe pretty quite very some exactly first next'.split(' '),
  "it's",
  'it is',
  'there is',
  'there are',
  'i have',
  'we have',
  'i got',
  'we got',
];
