// The service worker: it keeps one build of the app on the phone, whole, so
// that the app opens without a network, and a build before it for as long as a
// page of that one counts. It never touches counts.

export {};

declare const self: ServiceWorkerGlobalScope;

/** Every address of this build, put in by the build: what phones show, and what only the office and walls do. */
declare const __SHELL__: string[];
declare const __APART__: string[];

/** The pages whose own parts are kept only where one was opened, and the entry of a cache that says so. */
const apart = /^\/(office|wall)(\/|$)/;
const opened = "/apart";

const prefix = "shell-";
const mine = prefix + __BUILD__;

self.addEventListener("install", (event) => {
  event.waitUntil(keep());
});

const fresh = (address: string): Request => new Request(address, { cache: "reload" });

/** Takes the whole build in. If any of it fails, nothing stays and the version before goes on. */
async function keep(): Promise<void> {
  try {
    const cache = await caches.open(mine);
    await cache.addAll(__SHELL__.map(fresh));
    if (await caches.match(opened)) await keepApart();
    const page = await cache.match("/", { ignoreVary: true });
    if (!page || !(await page.text()).includes(__BUILD__)) {
      throw new Error("the server changed meanwhile");
    }
  } catch (error) {
    await caches.delete(mine);
    throw error;
  }
}

/** Takes in what only the office and walls show, once. */
async function keepApart(): Promise<void> {
  const cache = await caches.open(mine);
  if (await cache.match(opened)) return;
  await cache.addAll(__APART__.map(fresh));
  await cache.put(opened, new Response());
}

self.addEventListener("activate", (event) => {
  event.waitUntil(begin());
});

/** Drops the builds before this one, except where a page runs a session with one and so holds its lock, and serves every open page from now on. */
async function begin(): Promise<void> {
  const { held = [] } = (await navigator.locks?.query()) ?? {};
  for (const name of await caches.keys()) {
    if (name.startsWith(prefix) && name !== mine && !held.some((lock) => lock.name === name)) {
      await caches.delete(name);
    }
  }
  await self.clients.claim();
  const pages = await self.clients.matchAll({ type: "window" });
  if (pages.some(({ url }) => apart.test(new URL(url).pathname))) await keepApart().catch(() => undefined);
}

// A new version waits until a page says that nothing is in the way.
self.addEventListener("message", (event) => {
  if ((event.data as { take?: unknown } | null)?.take === true) {
    event.waitUntil(self.skipWaiting());
  }
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin || pathname === "/health" || pathname.startsWith("/api/")) {
    return;
  }
  if (request.mode === "navigate") {
    if (apart.test(pathname)) event.waitUntil(keepApart().catch(() => undefined)); // away from the server, or it has a newer one: the next time
    event.respondWith(answer("/", request));
  } else if (pathname.startsWith("/static/") || __SHELL__.includes(pathname)) {
    event.respondWith(answer(pathname, request));
  }
});

/** What this build has at an address, else one before it, else what the server says. */
async function answer(address: string, request: Request): Promise<Response> {
  const how = { ignoreVary: true };
  const cache = await caches.open(mine);
  return (await cache.match(address, how)) ?? (await caches.match(address, how)) ?? fetch(request);
}
