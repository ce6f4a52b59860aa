/** Other words for questions. */
import type { OtherWords } from './rows.ts';

const quantity =
  '(basal area(?: per acre| per hectare)?|volume(?: per acre| per hectare)?|board feet(?: per acre)?|trees per acre|trees per hectare|biomass|carbon|mean height|average height)';
export const askingRows: OtherWords = [
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
  ['^(?:(?:how many )?(?:snags|dead ones)|how many dead)$', 'how many dead trees'],
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
