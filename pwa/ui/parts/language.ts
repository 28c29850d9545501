// The language of this page: the one chosen on this phone, else the browser's,
// else English, which is in the scripts. Another one is a file that the page
// names in a <link>, and that the service worker keeps.
import { speakWith, unfilled } from "./say";

const store = "rootledger.language";

const others = (): HTMLLinkElement[] => [...document.querySelectorAll<HTMLLinkElement>("link[hreflang]")];

/** The languages that this build speaks, English first. */
export const languages = (): string[] => ["en", ...others().map((link) => link.hreflang)];

/** What was chosen on this phone; "" for what the browser likes. */
export function chosenLanguage(): string {
  try {
    return localStorage.getItem(store) ?? "";
  } catch {
    return "";
  }
}

/** Chooses one for this phone, "" for what the browser likes, and speaks it. */
export function chooseLanguage(language: string): void {
  try {
    localStorage.setItem(store, language);
  } catch {
    // not kept: the browser's language is spoken again after this page
  }
  dispatchEvent(new Event("languagechange"));
}

/** The first language liked that there is: "de-AT" is spoken by "de", unless there is one of its own. */
function liked(): string {
  const closest = languages().sort((a, b) => b.length - a.length);
  for (const like of [chosenLanguage(), ...navigator.languages]) {
    const found = closest.find((one) => `${like}-`.toLowerCase().startsWith(`${one}-`.toLowerCase()));
    if (found) return found;
  }
  return "en";
}

/** Has everything said in the language of this page; in English where its words do not come. */
export async function speak(): Promise<void> {
  let lang = liked();
  try {
    const link = others().find((one) => one.hreflang === lang);
    speakWith(link ? await (await fetch(link.href)).json() : {});
  } catch {
    lang = "en";
  }
  Object.assign(document.documentElement, { lang, dir: unfilled("language.dir") });
}
