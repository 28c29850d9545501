// The words of whoever leads: they come with the screens that show them.
import words from "../../words/en.json?lead";
import { addWords } from "./say";

addWords(words);
