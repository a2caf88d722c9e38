// What the first load of each page costs: the gzip -9 bytes of its html with its styles, its scripts and its wasm in dist/.

import { gzipSync } from "node:zlib";
import { existsSync, readdirSync, readFileSync } from "node:fs";

const TARGET = 150_000;
const LIMIT = 200_000;
const KINDS = ["html", "js", "wasm"];

const pages = readdirSync("src/pages").filter((file) => file.endsWith(".html"));

for (const folder of ["dist", ...pages.map((file) => `dist/${file.replace(".html", "")}`)]) {
  const files = existsSync(folder) ? readdirSync(folder).filter((name) => KINDS.includes(name.split(".").pop())) : [];
  for (const kind of KINDS) {
    if (!files.some((name) => name.endsWith(`.${kind}`))) {
      console.error(`${folder}/ holds no .${kind} file: run make build`);
      process.exit(1);
    }
  }

  let total = 0;
  for (const name of files) {
    const bytes = gzipSync(readFileSync(`${folder}/${name}`), { level: 9 }).length;
    total += bytes;
    console.log(`${String(bytes).padStart(8)}  ${folder}/${name}`);
  }
  console.log(`${String(total).padStart(8)}  bytes gzipped, first load of ${folder}/ (target ${TARGET}, limit ${LIMIT})`);

  if (total > LIMIT) {
    console.error(`The first load of ${folder}/ is ${total - LIMIT} bytes over its limit.`);
    process.exitCode = 1;
  } else if (total > TARGET) {
    console.log(`The first load of ${folder}/ is ${total - TARGET} bytes over its target.`);
  }
}
