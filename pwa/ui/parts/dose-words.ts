// The words of doses: they come with the screens that show them.
import words from "../../words/en.json?dose";
import { addWords } from "./say";

addWords(words);
