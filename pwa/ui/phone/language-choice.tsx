// Which language this phone speaks; nothing where the build has one only.
import "./rare-words";
import type { JSX } from "preact";
import { chooseLanguage, chosenLanguage, languages } from "../parts/language";
import { say } from "../parts/say";

/** A language as those who speak it call it. */
const nameOf = (language: string): string => new Intl.DisplayNames([language], { type: "language" }).of(language) ?? language;

/** The choice, each language in its own words. */
export function LanguageChoice(): JSX.Element | null {
  if (languages().length < 2) return null;
  return (
    <label class="field">
      <span>{say("languages.title")}</span>
      <select class="language" value={chosenLanguage()} onChange={(e) => chooseLanguage(e.currentTarget.value)}>
        <option value="">{say("languages.own")}</option>
        {languages().map((one) => (
          <option key={one} value={one} lang={one}>
            {nameOf(one)}
          </option>
        ))}
      </select>
    </label>
  );
}
