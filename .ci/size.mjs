// What the first load costs: the gzip -9 bytes of the page, its styles, its script and its wasm in dist/.

import { gzipSync } from "node:zlib";
import { existsSync, readdirSync, readFileSync } from "node:fs";

const TARGET = 150_000;
const LIMIT = 200_000;
const KINDS = ["html", "css", "js", "wasm"];

const files = existsSync("dist") ? readdirSync("dist").filter((name) => KINDS.includes(name.split(".").pop())) : [];
for (const kind of KINDS) {
  if (!files.some((name) => name.endsWith(`.${kind}`))) {
    console.error(`dist/ holds no .${kind} file: run make build`);
    process.exit(1);
  }
}

let total = 0;
for (const name of files) {
  const bytes = gzipSync(readFileSync(`dist/${name}`), { level: 9 }).length;
  total += bytes;
  console.log(`${String(bytes).padStart(8)}  ${name}`);
}
console.log(`${String(total).padStart(8)}  bytes gzipped, first load (target ${TARGET}, limit ${LIMIT})`);

if (total > LIMIT) {
  console.error(`The first load is ${total - LIMIT} bytes over its limit.`);
  process.exit(1);
}
if (total > TARGET) console.log(`The first load is ${total - TARGET} bytes over its target.`);
