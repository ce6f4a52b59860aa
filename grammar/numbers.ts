/**
 * Numbers, lengths, angles and areas as people say them, written as rules in the notation of `model.ts`. They are
 * data like every other rule: reading, speaking, sampling and the exports know no number word but these.
 *
 * ## The parts that a pattern may name
 *
 * | part | says | tag that takes it |
 * |---|---|---|
 * | `<digit>` | one digit, zero to nine | `{x=#}` |
 * | `<count>` | 0 to 9999: "a hundred and six", "one twenty", "one oh five", "one four two", "double two" | `{x=#}` |
 * | `<number>` | a count with decimals or halves, quarters, thirds, eighths: "twelve point oh five", "two and a half", "a half" | `{x=#}` |
 * | `<decimalPair>` | "fourteen two" = 14.2, "twenty two four" = 22.4 | `{x=#}` |
 * | `<pair>` | "five six": value 5.6, pair [5, 6]; "five eleven": 5.11, [5, 11] | `{value=#}{pair=##}` |
 * | `<feetPair>` | "five six" as an eye height: 5.5 with unit ft | `{eye=#u}` |
 * | `<length>` | number and unit, feet and inches, "a chain": unit always said | `{x=#u}` |
 * | `<lengthOrNumber>` | the same, or the bare number | `{x=#u}` |
 * | `<diameter>` | number or decimal pair with inches or centimetres | `{x=#u}` |
 * | `<diameterOrNumber>` | the same, or the bare number or decimal pair | `{x=#u}` |
 * | `<angle>` | number with degrees (deg) or percent (pct) | `{x=#u}` |
 * | `<angleOrNumber>` | the same, or the bare number | `{x=#u}` |
 * | `<area>` | number with acres (acre) or hectares (ha): "a tenth acre", "quarter of an acre" | `{x=#u}` |
 * | `<areaOrNumber>` | the same, or the bare number | `{x=#u}` |
 * | `<word+>` | free words, one or more | `{x=@}` |
 *
 * `#u` sets `x.value` and, when a unit was said, `x.unit`; `#` sets x and drops the unit. `#-` and `#-u` negate
 * (write `(minus <angle> {base.angle=#-u} | [plus] <angle> {base.angle=#u})`). Units are `ft in m cm chain yd deg pct acre ha`.
 * Every part takes a sampling range: `<length:10..120>`. Any rule or part may be repeated: `<take+>`, one or more.
 * `<height/distance>` is the rule `distance` with all its paths put under `height` (`height.distance.count`); so one
 * rule serves `height.distance` and the `distance` of a change: `<distance>` there.
 */
