// What the build puts in the place of these names.

/** The address of the engine as WebAssembly. */
declare const __ENGINE_URL__: string;
/** The address of the worker's script. */
declare const __WORKER_URL__: string;
/** A hash over everything that is served: two builds that differ have two. */
declare const __BUILD__: string;

/** Words that load with the screens that say them; words/en.json without an ending is all others. */
declare module "*.json?rare" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
declare module "*.json?figures" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
declare module "*.json?lead" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}

declare module "*.json?quality" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
declare module "*.json?office" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
declare module "*.json?day" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
declare module "*.json?wall" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
declare module "*.json?punch" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
declare module "*.json?dose" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
declare module "*.json?fault" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
declare module "*.json?help" {
  const words: Readonly<Record<string, string>>;
  export default words;
}
declare module "*.json?join" {
  const words: Readonly<Record<string, string>>;
  export default words;
}
declare module "*.json?practice" {
  const words: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  export default words;
}
