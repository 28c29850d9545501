// The words of the wall: they come with the screens that show them.
import words from "../../words/en.json?wall";
import { addWords } from "./say";

addWords(words);
