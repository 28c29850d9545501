// The words of the office: they come with the screens that show them.
import words from "../../words/en.json?office";
import { addWords } from "./say";

addWords(words);
