/**
 * Independent readers of the exported grammars, for tests: tokenise, parse and match JSGF and SRGS text by the
 * published grammars of these formats, knowing nothing of the project's own compiler.
 */
export type Expansion =
  | { readonly is: 'token'; readonly word: string }
  | { readonly is: 'rule'; readonly name: string }
  | { readonly is: 'sequence' | 'choice'; readonly items: readonly Expansion[] }
  | { readonly is: 'repeat'; readonly item: Expansion; readonly from: number; readonly to: number }
  | { readonly is: 'tag'; readonly text: string }
  | { readonly is: 'garbage' };

export type Rules = ReadonlyMap<string, Expansion>;

interface Token {
  readonly kind: 'tag' | 'rule' | 'weight' | 'mark' | 'word';
  readonly text: string;
}

function tokensOf(text: string, form: 'jsgf' | 'abnf'): Token[] {
  const tokens =
    form === 'jsgf'
      ? /\/\/[^\n]*|\{((?:[^{}\\]|\\.)*)\}|<([\w.]+)>|\/(\d*\.?\d+)\/|([()[\]|;=*+])|([^\s()[\]|;=*+<>{}/]+)/y
      : /\{!\{([\s\S]*?)\}!\}|\$([\w]+)|\/(\d*\.?\d+)\/|(<\d+-\d*>|[()[\]|;=])|('[^']*'|[^\s()[\]|;=$<>{}/]+|<[\w./-]+>)/y;
  const list: Token[] = [];
  let at = text.indexOf('\n') + 1;
  while (at < text.length) {
    if (/\s/.test(text[at]!)) {
      at++;
      continue;
    }
    tokens.lastIndex = at;
    const match = tokens.exec(text);
    if (match === null) throw new Error(`no token at ${at}: ${text.slice(at, at + 40)}`);
    at = tokens.lastIndex;
    const [, tag, rule, weight, mark, word] = match;
    if (tag !== undefined) list.push({ kind: 'tag', text: tag });
    else if (rule !== undefined) list.push({ kind: 'rule', text: rule });
    else if (weight !== undefined) list.push({ kind: 'weight', text: weight });
    else if (mark !== undefined) list.push({ kind: 'mark', text: mark });
    else if (word !== undefined) list.push({ kind: 'word', text: word });
  }
  return list;
}

/** How often `*`, `+` or `<m-n>` says what is before it; null for another token. */
function repeatOf(token: Token | undefined): { readonly from: number; readonly to: number } | null {
  const repeat = token?.kind === 'mark' ? /^(?:[*+]|<(\d+)-(\d*)>)$/.exec(token.text) : null;
  if (repeat === null) return null;
  const [mark, low, high] = repeat;
  if (low === undefined) return { from: mark === '+' ? 1 : 0, to: Infinity };
  return { from: Number(low), to: high === '' ? Infinity : Number(high) };
}

/** A reference to a rule, or to one of the rules that every grammar has. */
function referenceTo(name: string): Expansion {
  if (name === 'NULL') return { is: 'sequence', items: [] };
  return name === 'GARBAGE' ? { is: 'garbage' } : { is: 'rule', name };
}

/**
 * JSGF 1.0 (Java Speech Grammar Format specification, W3C note of 5 June 2000): rules, alternatives with weights,
 * groups, options, `*` and `+`, tags. And the ABNF form of SRGS 1.0 (W3C recommendation of 16 March 2004), which
 * differs in how rules, repeats and tags are written.
 */
export function parseGrammar(text: string, form: 'jsgf' | 'abnf'): Rules {
  const list = tokensOf(text, form);
  let next = 0;
  const is = (mark: string): boolean => list[next]?.kind === 'mark' && list[next]!.text === mark;
  const need = (mark: string): void => {
    if (!is(mark)) throw new Error(`"${mark}" expected at token ${next}: ${list[next]?.text}`);
    next++;
  };
  const choice = (): Expansion => {
    const items: Expansion[] = [];
    const weights: number[] = [];
    do {
      if (items.length > 0) next++;
      if (list[next]?.kind === 'weight') weights.push(Number(list[next++]!.text));
      items.push(sequence());
    } while (is('|'));
    // Both formats: one weight given, all given. JSGF forbids none; SRGS wants them above nought.
    if (weights.length > 0 && (weights.length !== items.length || weights.some((weight) => !(weight > 0)))) {
      throw new Error('weights are given to some alternatives only, or are nought');
    }
    return items.length === 1 ? items[0]! : { is: 'choice', items };
  };
  /** What a token begins, which is behind us already. */
  const beginning = (token: Token): Expansion => {
    if (token.kind === 'tag') return { is: 'tag', text: token.text };
    if (token.kind === 'word') return { is: 'token', word: token.text };
    if (token.kind === 'rule') return referenceTo(token.text);
    if (token.text !== '(' && token.text !== '[') throw new Error(`unexpected "${token.text}"`);
    const item = choice();
    need(token.text === '(' ? ')' : ']');
    return token.text === '(' ? item : { is: 'repeat', item, from: 0, to: 1 };
  };
  const sequence = (): Expansion => {
    const items: Expansion[] = [];
    for (;;) {
      const token = list[next];
      if (token === undefined || (token.kind === 'mark' && ')]|;'.includes(token.text))) break;
      next++;
      let item = beginning(token);
      for (let repeat = repeatOf(list[next]); repeat !== null; repeat = repeatOf(list[next])) {
        item = { is: 'repeat', item, ...repeat };
        next++;
      }
      items.push(item);
    }
    if (items.length === 0) throw new Error(`an empty alternative at token ${next}`);
    return { is: 'sequence', items };
  };
  const rules = new Map<string, Expansion>();
  while (next < list.length) {
    while (list[next]?.kind === 'word' && /^(public|private)$/.test(list[next]!.text)) next++;
    if (list[next]?.kind !== 'rule' || list[next + 1]?.text !== '=') {
      // A declaration of the header.
      while (next < list.length && !is(';')) next++;
      next++;
      continue;
    }
    const name = list[next]!.text;
    next += 2;
    if (rules.has(name)) throw new Error(`rule ${name} is defined twice`);
    rules.set(name, choice());
    need(';');
  }
  return rules;
}

/** All lists of tags with which the words can be said by a rule. GARBAGE leaves the words that it took. */
export function matches(rules: Rules, root: string, words: readonly string[]): string[][] {
  const found: string[][] = [];
  const walk = (
    expansion: Expansion,
    at: number,
    tags: readonly string[],
    then: (at: number, tags: readonly string[]) => void,
  ): void => {
    switch (expansion.is) {
      case 'token':
        if (words[at] === expansion.word) then(at + 1, tags);
        return;
      case 'tag':
        then(at, [...tags, expansion.text]);
        return;
      case 'garbage':
        for (let end = at + 1; end <= words.length; end++)
          then(end, [...tags, `@${words.slice(at, end).join(' ')}`]);
        return;
      case 'rule': {
        const rule = rules.get(expansion.name);
        if (rule === undefined) throw new Error(`rule ${expansion.name} is not defined`);
        const free = expansion.name === 'free_words' && rule.is !== 'garbage';
        walk(rule, at, tags, (end, inner) =>
          then(end, free ? [...inner, `@${words.slice(at, end).join(' ')}`] : inner),
        );
        return;
      }
      case 'choice':
        for (const item of expansion.items) walk(item, at, tags, then);
        return;
      case 'sequence': {
        const items = (index: number, here: number, said: readonly string[]): void => {
          if (index === expansion.items.length) then(here, said);
          else walk(expansion.items[index]!, here, said, (end, inner) => items(index + 1, end, inner));
        };
        items(0, at, tags);
        return;
      }
      case 'repeat': {
        const again = (times: number, here: number, said: readonly string[]): void => {
          if (times >= expansion.from) then(here, said);
          if (times < expansion.to) {
            walk(expansion.item, here, said, (end, inner) => {
              if (end > here) again(times + 1, end, inner);
            });
          }
        };
        again(0, at, tags);
        return;
      }
    }
  };
  walk(rules.get(root)!, 0, [], (end, tags) => {
    if (end === words.length) found.push([...tags]);
  });
  return found;
}

interface Element {
  readonly name: string;
  readonly attributes: ReadonlyMap<string, string>;
  readonly children: readonly (Element | string)[];
}

/** A small XML reader: elements, attributes, text, the five entities. Enough for what is exported. */
export function parseXml(text: string): Element {
  const decode = (part: string): string =>
    part.replace(
      /&(lt|gt|quot|apos|amp);/g,
      (_, name: string) => ({ lt: '<', gt: '>', quot: '"', apos: "'", amp: '&' })[name]!,
    );
  const stack: { name: string; attributes: Map<string, string>; children: (Element | string)[] }[] = [
    { name: '', attributes: new Map(), children: [] },
  ];
  for (const [, close, name, attributes, empty, plain] of text.matchAll(
    /<\?[\s\S]*?\?>|<(\/?)([\w:-]+)((?:\s+[\w:-]+="[^"<]*")*)\s*(\/?)>|([^<]+)/g,
  )) {
    const top = stack[stack.length - 1]!;
    if (plain !== undefined) top.children.push(decode(plain));
    else if (close === '/') {
      if (top.name !== name) throw new Error(`</${name}> closes <${top.name}>`);
      stack.pop();
      stack[stack.length - 1]!.children.push(top);
    } else if (name !== undefined) {
      const element = { name, attributes: new Map<string, string>(), children: [] };
      for (const [, key, value] of attributes!.matchAll(/([\w:-]+)="([^"]*)"/g))
        element.attributes.set(key!, decode(value!));
      if (empty === '/') top.children.push(element);
      else stack.push(element);
    }
  }
  if (stack.length !== 1) throw new Error('an element is not closed');
  return stack[0]!.children.find(
    (child): child is Element => typeof child !== 'string' && child.name === 'grammar',
  )!;
}

/**
 * Checks a document against the XML form of SRGS 1.0 (W3C recommendation of 16 March 2004, section 4 and appendix B),
 * element by element, and gives its rules. Returns the sentences of what is wrong.
 */
export function checkSrgs(grammar: Element): { rules: Rules; wrong: string[] } {
  const wrong: string[] = [];
  const expect = (good: boolean, sentence: string): void => {
    if (!good) wrong.push(sentence);
  };
  const allowed: Record<string, { children: string; attributes: string; text: boolean }> = {
    grammar: {
      children: 'rule tag meta metadata lexicon',
      attributes: 'version xmlns xml:lang mode root tag-format xml:base',
      text: false,
    },
    rule: { children: 'token ruleref item one-of tag example', attributes: 'id scope', text: true },
    item: {
      children: 'token ruleref item one-of tag',
      attributes: 'repeat repeat-prob weight xml:lang',
      text: true,
    },
    'one-of': { children: 'item', attributes: 'xml:lang', text: false },
    ruleref: { children: '', attributes: 'uri type special xml:lang', text: false },
    tag: { children: '', attributes: '', text: true },
    meta: { children: '', attributes: 'name http-equiv content', text: false },
    token: { children: '', attributes: 'xml:lang', text: true },
  };
  const ids = new Set<string>();
  const refs = new Set<string>();
  const checkAttribute = (key: string, value: string): void => {
    if (key === 'id') {
      expect(/^[A-Za-z_][\w-]*$/.test(value), `"${value}" is no rule name`);
      expect(!['NULL', 'VOID', 'GARBAGE'].includes(value), `"${value}" is a special rule`);
      expect(!ids.has(value), `rule "${value}" is defined twice`);
      ids.add(value);
    }
    if (key === 'uri') refs.add(value);
    if (key === 'special') expect(/^(NULL|VOID|GARBAGE)$/.test(value), `"${value}" is no special rule`);
    if (key === 'scope') expect(/^(public|private)$/.test(value), `"${value}" is no scope`);
    if (key === 'repeat') expect(/^(\d+|\d+-|\d+-\d+)$/.test(value), `"${value}" is no repeat`);
    if (key === 'weight')
      expect(/^(\d+\.?\d*|\.\d+)$/.test(value) && Number(value) > 0, `"${value}" is no weight`);
  };
  const visit = (element: Element): void => {
    const may = allowed[element.name];
    if (may === undefined) {
      wrong.push(`<${element.name}> is no element of the format`);
      return;
    }
    for (const [key, value] of element.attributes) {
      expect(may.attributes.split(' ').includes(key), `<${element.name}> has no attribute "${key}"`);
      checkAttribute(key, value);
    }
    for (const child of element.children) {
      if (typeof child === 'string')
        expect(may.text || child.trim() === '', `text in <${element.name}>: ${child}`);
      else {
        expect(may.children.split(' ').includes(child.name), `<${child.name}> in <${element.name}>`);
        visit(child);
      }
    }
    if (element.name === 'one-of') expect(element.children.length > 0, 'an empty <one-of>');
    if (element.name === 'rule') expect(element.attributes.has('id'), '<rule> without id');
    if (element.name === 'ruleref') {
      const targets = ['uri', 'special'].filter((key) => element.attributes.has(key));
      expect(targets.length === 1, '<ruleref> needs one of uri and special');
    }
  };
  visit(grammar);
  expect(grammar.attributes.get('version') === '1.0', 'the version is 1.0');
  expect(
    grammar.attributes.get('xmlns') === 'http://www.w3.org/2001/06/grammar',
    'the namespace is that of SRGS',
  );
  expect(grammar.attributes.has('xml:lang'), 'a voice grammar needs xml:lang');
  expect(ids.has(grammar.attributes.get('root') ?? ''), 'the root is a rule');
  for (const ref of refs) expect(ref.startsWith('#') && ids.has(ref.slice(1)), `"${ref}" is not defined`);
  const expansion = (node: Element | string): Expansion => {
    if (typeof node === 'string') {
      return {
        is: 'sequence',
        items: node
          .split(/\s+/)
          .filter(Boolean)
          .map((word) => ({ is: 'token', word })),
      };
    }
    const items = node.children.map(expansion);
    switch (node.name) {
      case 'tag':
        return { is: 'tag', text: node.children.join('') };
      case 'ruleref':
        return node.attributes.get('special') === 'GARBAGE'
          ? { is: 'garbage' }
          : { is: 'rule', name: node.attributes.get('uri')!.slice(1) };
      case 'one-of':
        return { is: 'choice', items };
    }
    const sequence: Expansion = { is: 'sequence', items };
    const repeat = /^(\d+)(-?)(\d*)$/.exec(node.attributes.get('repeat') ?? '');
    if (repeat === null) return sequence;
    const from = Number(repeat[1]);
    const to = repeat[2] === '' ? from : repeat[3] === '' ? Infinity : Number(repeat[3]);
    return { is: 'repeat', item: sequence, from, to };
  };
  const rules = grammar.children.filter(
    (child): child is Element => typeof child !== 'string' && child.name === 'rule',
  );
  return {
    rules: new Map(
      rules.map((rule) => [
        rule.attributes.get('id')!,
        { is: 'sequence', items: rule.children.map(expansion) } satisfies Expansion,
      ]),
    ),
    wrong,
  };
}

/**
 * The tags of a match as one list, by the few statements that the exports use: `out.push("...")`, with or without
 * `meta.latest().text`, and the handing on of a rule's list, which matching has done already.
 */
export function sisrTags(statements: readonly string[]): string[] {
  const tags: string[] = [];
  let free = '';
  for (const statement of statements) {
    if (statement.startsWith('@')) {
      free = statement.slice(1);
      continue;
    }
    const push = /^out\.push\(("(?:[^"\\]|\\.)*")(, meta\.latest\(\)\.text)?\);$/.exec(statement);
    if (push !== null) tags.push(JSON.parse(push[1]!) as string, ...(push[2] === undefined ? [] : [free]));
    else if (!/^out = (\[\]|out\.concat\(rules\.latest\(\)\)|note\(rules\.latest\(\)\));$/.test(statement)) {
      throw new Error(`not a statement of the exports: ${statement}`);
    }
  }
  return tags;
}

/** JSGF tags are the description's own; the text of free words stands where they were said. */
export function jsgfTags(tags: readonly string[]): string[] {
  const list: string[] = [];
  let free = '';
  for (const tag of tags) {
    if (tag.startsWith('@')) free = tag.slice(1);
    else if (tag.endsWith('=@')) list.push(tag, free);
    else list.push(tag);
  }
  return list;
}
