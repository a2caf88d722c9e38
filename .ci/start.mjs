// Part of Trunk's post-build hook: a page's code is asked for once what stands in its html was painted, which needs nothing else. On a slow line the first words
// are there before the code that takes ten times as long, and do not wait for their share of the line. What keeps the whole build (`public/device.js`) comes last, once the
// page stands: it would take its share of the line, and of the phone.

import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const path = join(process.env.TRUNK_STAGING_DIR, "index.html");
let page = readFileSync(path, "utf8");

const take = (what) => {
  const found = page.match(what);
  if (!found) throw new Error(`${path} has no ${what}: Trunk writes its start otherwise`);
  page = page.replace(found[0], () => "");
  return found;
};
take(/<link\b[^>]*\brel=modulepreload>/);
take(/<link\b[^>]*\brel=preload\b[^>]*>/);
const [, device] = take(/<script\b[^>]*\bsrc=([^ >]*\/device[^ >]*\.js)[^>]*><\/script>/);
const [, script] = take(/<script type=module>import init[^']*'([^']*\.js)';[\s\S]*?<\/script>/);

// A page that is hidden is not painted. A task that a frame starts comes after the frame. What is still to be filled says that it is busy (`dom::later`).
const start = `const painted=()=>new Promise(done=>document.hidden?setTimeout(done):requestAnimationFrame(()=>setTimeout(done)));
await painted();
const wasm=fetch('${script.replace(/\.js$/, "_bg.wasm")}');
const{default:init}=await import('${script}');
await init({module_or_path:wasm});
do await painted();while(document.querySelector('#skeleton,[aria-busy]'));
import('${device}');`;
page = page.replace("</head>", () => `<script type=module>${start}</script></head>`);
writeFileSync(path, page);
