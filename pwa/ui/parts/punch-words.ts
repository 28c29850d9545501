// The words of punch set-ups and trials: they come with the screens that show them.
import words from "../../words/en.json?punch";
import { addWords } from "./say";

addWords(words);
