// The words of the day so far: they come with the screens that show them.
import words from "../../words/en.json?day";
import { addWords } from "./say";

addWords(words);
