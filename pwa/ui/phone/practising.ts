// What practice puts on the screens that real counting has as well.
import { type ComponentChildren, createContext } from "preact";

interface InPractice {
  line: ComponentChildren; // what to do, in the place of who and where; null for nothing
  menu: (onClose: () => void) => ComponentChildren; // what the phone's menu has instead of files and leaving
}

/** Null while counting is real. */
export const Practising = createContext<InPractice | null>(null);
