// The words of quality: they come with the screens that show rates, looks and samples.
import words from "../../words/en.json?quality";
import { addWords } from "./say";

addWords(words);
