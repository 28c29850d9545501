// Names that have to be shorter: what stays tells them apart.

/** "Left temple" as "L temple"; a single word by its first six letters. */
function lastWord(words: readonly string[]): string {
  const last = words[words.length - 1] ?? "";
  if (words.length < 2) return [...last].slice(0, 6).join("");
  return [...words.slice(0, -1).map(initial), last].join(" ");
}

/** "Left temple" as "LT"; a single word by its first three letters. */
function initials(words: readonly string[]): string {
  if (words.length < 2) return [...(words[0] ?? "")].slice(0, 3).join("");
  return words.map(initial).join("");
}

const initial = (word: string): string => (/^\d+$/.test(word) ? word : ([...word][0] ?? "").toUpperCase());

/** A name and its shorter forms, the longest first. */
export function formsOf(name: string): readonly [string, string, string] {
  const words = name.split(/[\s-]+/).filter((w) => w !== "");
  const middle = lastWord(words);
  return [name, middle.length < name.length ? middle : name, initials(words)];
}

/** The forms of several names; short forms that would be alike are numbered by their place. */
export function shortNames(names: readonly string[]): (readonly [string, string, string])[] {
  const all = names.map(formsOf);
  const apart = (form: string, i: number, at: 1 | 2): string => (all.filter((f) => f[at] === form).length > 1 ? `${form} ${i + 1}` : form);
  return all.map(([whole, middle, short], i) => [whole, apart(middle, i, 1), apart(short, i, 2)]);
}
