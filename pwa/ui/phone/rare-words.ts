// The words of what is rarely opened: they come with the sheets that say them.
import words from "../../words/en.json?rare";
import { addWords } from "../parts/say";

addWords(words);
