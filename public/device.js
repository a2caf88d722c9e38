// What the browser does for a page beside its code: keep whole builds (`worker.js`), offer a newer one, keep the screen on during work.
// What a browser does not know is quietly absent.

const root = new URL(".", document.querySelector("link[rel=manifest]").href).href;

const quietly = (promise) => promise?.catch(() => {});

// The builds kept for this folder, oldest first: the first that is whole is in use. The names are the worker's.
const kept = async () => {
  const names = (await caches.keys()).filter((name) => name.startsWith(`halfturn ${root} `));
  const pages = await Promise.all(names.map((cacheName) => caches.match(root, { cacheName })));
  return { names, whole: names.filter((_, place) => pages[place]) };
};

const takeNewest = async () => {
  const { names, whole } = await kept();
  for (const name of names.slice(0, names.indexOf(whole.at(-1)))) await caches.delete(name);
  location.reload();
};

// Offers a newer build that is here whole. It stands only where nobody is at work on a job.
customElements.define("new-version", class extends HTMLElement {
  connectedCallback() {
    this.setAttribute("role", "status");
    quietly(this.look());
  }

  async look() {
    if (!self.caches || (await kept()).whole.length < 2) return;
    const take = document.createElement("button");
    take.type = "button";
    take.textContent = "Change to the new version";
    take.onclick = () => quietly(takeNewest());
    const words = document.createElement("p");
    words.textContent = "A new version of Halfturn is ready. Changing to it loads this page again; the jobs stay as they are.";
    this.className = "frame body";
    this.replaceChildren(words, take);
  }
});

const askToLast = async () => {
  const asked = "halfturn.asked-to-last";
  if (sessionStorage.getItem(asked)) return;
  sessionStorage.setItem(asked, "yes");
  await navigator.storage?.persist?.();
};

const askOnce = () => quietly(askToLast());

// Stands in the page while a job is: the screen stays on, and a tap asks the browser not to clear what is stored.
customElements.define("at-work", class extends HTMLElement {
  connectedCallback() {
    document.addEventListener("visibilitychange", this);
    document.addEventListener("click", askOnce);
    this.handleEvent();
  }

  disconnectedCallback() {
    document.removeEventListener("visibilitychange", this);
    document.removeEventListener("click", askOnce);
    this.lock?.then((lock) => lock?.release());
  }

  // The browser lets go of the screen when the page is hidden.
  handleEvent() {
    if (!document.hidden) this.lock = quietly(navigator.wakeLock?.request("screen"));
  }
});

const offer = () => document.querySelectorAll("new-version").forEach((place) => quietly(place.look()));

const start = async () => {
  const registration = await navigator.serviceWorker?.register(`${root}worker.js`);
  if (!registration) return;
  // The browser may have found the newer build, or even have it here, before the page asked.
  const watch = () => registration.installing?.addEventListener("statechange", offer);
  registration.onupdatefound = watch;
  watch();
  offer();
  if (registration.active && (await kept()).whole.length === 0) registration.active.postMessage("");
};

quietly(start());
