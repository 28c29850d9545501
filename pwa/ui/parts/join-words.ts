// The words of joining: they come with the page that says them.
import words from "../../words/en.json?join";
import { addWords } from "./say";

addWords(words);
