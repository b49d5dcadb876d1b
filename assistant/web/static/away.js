// The page while its server is away: the browser keeps it, with the program's own files (FILES, which the server puts
// before this), and shows it in their place. What is asked and answered, and all of the manager's, goes by untouched.

const PAGE = "/";
const KEPT = `page ${VERSION}`;
const PATIENCE_MS = 3000; // a network that swallows what is sent says nothing

addEventListener("install", (event) => event.waitUntil(keep()));
addEventListener("activate", (event) => event.waitUntil(letGo()));
addEventListener("fetch", (event) => {
  const { method, mode, url } = event.request;
  const { origin, pathname } = new URL(url);
  if (method !== "GET" || origin !== location.origin) return;
  if (mode === "navigate" && pathname === PAGE) event.respondWith(page());
  else if (FILES.includes(pathname)) event.respondWith(file(pathname));
});

async function keep() {
  await page();
  const cache = await caches.open(KEPT);
  await cache.addAll(FILES);
}

/** Lets go of what an earlier version kept. */
async function letGo() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name !== KEPT).map((name) => caches.delete(name)));
}

async function page() {
  const cache = await caches.open(KEPT);
  try {
    const answer = await asked(PAGE);
    if (answer.ok) await cache.put(PAGE, answer.clone());
    else await cache.delete(PAGE); // the device was turned out: it is sent where the code is given
    return answer;
  } catch {
    return (await cache.match(PAGE)) ?? Response.error();
  }
}

async function file(path) {
  const cache = await caches.open(KEPT);
  return asked(path).catch(async () => (await cache.match(path)) ?? Response.error());
}

function asked(path) {
  return fetch(path, { redirect: "manual", signal: AbortSignal.timeout(PATIENCE_MS) });
}
