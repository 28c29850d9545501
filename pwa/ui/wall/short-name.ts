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

/** "Point of the left temple" as "Point temple": of more than two words the first and the last. */
const ends = (words: readonly string[]): readonly string[] => (words.length > 2 ? [words[0] ?? "", words[words.length - 1] ?? ""] : words);

/** A name and its shorter forms, the longest first: with its last word, that and the first initial, its initials, the first and last. */
export type Forms = readonly [whole: string, middle: string, last: string, initials: string, least: string];

export function formsOf(name: string): Forms {
  const words = name.split(/[\s-]+/).filter((w) => w !== "");
  const middle = lastWord(words);
  return [name, middle.length < name.length ? middle : name, lastWord(ends(words)), initials(words), initials(ends(words))];
}

/** The forms of several names; short forms that would be alike are numbered by their place, but a last word that says too little is not used. */
export function shortNames(names: readonly string[]): Forms[] {
  const all = names.map(formsOf);
  const alike = (form: string, at: 1 | 2 | 3 | 4): boolean => all.filter((f) => f[at] === form).length > 1;
  const apart = (form: string, i: number, at: 1 | 3 | 4): string => (alike(form, at) ? `${form} ${i + 1}` : form);
  return all.map(([whole, middle, last, short, least], i) => {
    const known = apart(middle, i, 1);
    return [whole, known, alike(last, 2) ? known : last, apart(short, i, 3), apart(least, i, 4)];
  });
}
