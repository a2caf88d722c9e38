// Keeps whole builds of Halfturn on this device and answers from them, so that what was seen once needs no server.
//
// The oldest build kept is the one in use, whatever came after it, until the person asks for the newest: then `device.js` removes the
// others. Workers and pages of all builds share this. A build is kept whole or not at all. What is no file of a build goes to the network as if nobody stood in between.

// Written by `.ci/worker.mjs`: the files of this build, the page of jobs last, and the SHA-256 of all their bytes in that order.
const FILES = ["files"];
const BUILD = "build";

// An origin may hold other pages with caches of their own, and Halfturn in more than one folder.
const OURS = `halfturn ${registration.scope} `;
const NAME = OURS + BUILD;

const builds = async () => (await caches.keys()).filter((name) => name.startsWith(OURS));

// The page of jobs is put last.
const isWhole = (name) => caches.match("./", { cacheName: name });

const keep = async () => {
  if (!(await isWhole(NAME))) {
    const bodies = await Promise.all(FILES.map(async (file) => (await fetch(file, { cache: "no-cache" })).blob()));
    // A host in the middle of an upload holds files of two builds, a cache on the way may hold old ones, and a missing file has a body too.
    const digest = await crypto.subtle.digest("SHA-256", await new Blob(bodies).arrayBuffer());
    if (btoa(String.fromCharCode(...new Uint8Array(digest))) !== BUILD) throw Error("not one build");
    const cache = await caches.open(NAME);
    // A body without its answer: an answer that came by a redirection may not be given to a page.
    for (const file of FILES) await cache.put(file, new Response(bodies.shift()));
  }
  // Kept: the build in use and this one, not what was never asked for or never became whole.
  let isInUse = true;
  for (const name of await builds()) {
    if (isInUse && (await isWhole(name))) isInUse = false;
    else if (name !== NAME) await caches.delete(name);
  }
};

const answer = async (request) => {
  // A page is the same with and without its file's name, whatever the query.
  const address = request.url.replace(/[?#].*/, "").replace(/\/index\.html$/, "/");
  for (const cacheName of await builds()) {
    const kept = await caches.match(address, { cacheName });
    if (kept) return kept;
    // As a host does with a folder's name.
    if (await caches.match(`${address}/`, { cacheName })) return Response.redirect(`${address}/`);
  }
  return fetch(request);
};

addEventListener("install", (event) => event.waitUntil(keep()));
// The first visit, too, goes on without a server.
addEventListener("activate", (event) => event.waitUntil(clients.claim()));
// A page found no build here: the browser cleared the storage.
addEventListener("message", (event) => event.waitUntil(keep()));
addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && request.url.startsWith(registration.scope)) event.respondWith(answer(request));
});
