// The words of most faults: nothing of these goes wrong before a page is drawn.
import words from "../../words/en.json?fault";
import { addWords } from "./say";

addWords(words);
