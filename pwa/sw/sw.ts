// The service worker: it keeps one build of the app on the phone, whole, so
// that the app opens without a network, and a build before it for as long as a
// page of that one counts. It never touches counts.

export {};

declare const self: ServiceWorkerGlobalScope;

/** Every address of this build, put in by the build. */
declare const __SHELL__: string[];

const prefix = "shell-";
const mine = prefix + __BUILD__;

self.addEventListener("install", (event) => {
  event.waitUntil(keep());
});

/** Takes the whole build in. If any of it fails, nothing stays and the version before goes on. */
async function keep(): Promise<void> {
  try {
    const cache = await caches.open(mine);
    await cache.addAll(__SHELL__.map((address) => new Request(address, { cache: "reload" })));
    const page = await cache.match("/", { ignoreVary: true });
    if (!page || !(await page.text()).includes(__BUILD__)) {
      throw new Error("the server changed meanwhile");
    }
  } catch (error) {
    await caches.delete(mine);
    throw error;
  }
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
