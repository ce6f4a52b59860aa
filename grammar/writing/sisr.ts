/**
 * The script in the header of the SRGS exports: makes the note of the list of tags that a sentence leaves, in the
 * ECMAScript that SISR 1.0 allows. It repeats `meaning.ts` for processors that are not ours; a test holds the two
 * together.
 */
export const noteScript = `
function note(tags) {
  var out = {}, n = null, taken = true, i, m, path, take, value;
  function fresh() {
    n = { total: 0, current: 0, scale: -1, decimals: 0, added: 0, feet: -1, sign: 1, unit: null };
    taken = false;
  }
  function plain() {
    var whole = n.total + n.current, power;
    if (n.scale <= 0) return whole + n.added;
    power = Math.pow(10, n.scale);
    return (whole * power + n.decimals) / power + n.added;
  }
  function amount(minus) {
    var value = n.feet >= 0 ? n.feet + plain() / 12 : plain();
    taken = true;
    return value === 0 ? 0 : (minus ? -1 : 1) * n.sign * value;
  }
  function place(path, value, isList) {
    var keys = path.split("."), at = out, k;
    for (k = 0; k < keys.length - 1; k++) at = at[keys[k]] = at[keys[k]] || {};
    k = keys[keys.length - 1];
    if (isList) { at[k] = at[k] || []; at[k].push(value); } else at[k] = value;
  }
  function number(action, x) {
    var before;
    if (taken) fresh();
    if (action === "add") n.current += x;
    else if (action === "times") {
      if (x === 1000) { n.total += n.current * 1000; n.current = 0; } else n.current *= x;
    }
    else if (action === "shift") n.current = n.current * 100 + x;
    else if (action === "append") n.current = n.current * 10 + x;
    else if (action === "point") n.scale = 0;
    else if (action === "decimal") { n.decimals = n.decimals * 10 + x; n.scale++; }
    else if (action === "part") n.added += x;
    else if (action === "over") n.current /= x;
    else if (action === "negate") n.sign = -1;
    else if (action === "feet") {
      before = n; value = plain(); fresh();
      n.feet = value; n.sign = before.sign; n.unit = before.unit;
    }
  }
  for (i = 0; i < tags.length; i++) {
    m = /^([a-z]+) (\\S+)$/.exec(tags[i]);
    if (m) {
      if (m[1] === "unit") { if (taken) fresh(); n.unit = m[2]; } else number(m[1], Number(m[2]));
      continue;
    }
    m = /^([^=]*?)(\\[\\])?=([^]*)$/.exec(tags[i]);
    path = m[1]; take = m[3];
    if (take === "@") { place(path, tags[++i], false); continue; }
    if (take === "##") { place(path, [n.total + n.current, n.decimals], false); taken = true; continue; }
    if (take.charAt(0) === "#") {
      value = amount(take.indexOf("-") > 0);
      if (take.indexOf("u") < 0) { place(path, value, Boolean(m[2])); continue; }
      if (m[2]) { place(path, n.unit === null ? { value: value } : { value: value, unit: n.unit }, true); continue; }
      place(path === "" ? "value" : path + ".value", value, false);
      if (n.unit !== null) place(path === "" ? "unit" : path + ".unit", n.unit, false);
      continue;
    }
    value = take === "true" ? true : take === "false" ? false : /^-?\\d+(\\.\\d+)?$/.test(take) ? Number(take) : take;
    place(path, value, Boolean(m[2]));
  }
  return out;
}
`;
