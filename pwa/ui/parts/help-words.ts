// The words of the help for keys: they come with it.
import words from "../../words/en.json?help";
import { addWords } from "./say";

addWords(words);
