// The words of practice: they come with its pages.
import words from "../../words/en.json?practice";
import { addWords } from "./say";

addWords(words);
