// Part of Trunk's post-build hook: gives what a page's wasm takes from its script short names. wasm-bindgen names each by a hash, twice, which no compression
// makes smaller: 3 kB of each page.

import { readFileSync, readdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const IMPORTS = 2; // the section's number (WebAssembly Core Specification, 5.5.2)
const HEAD = 8; // "\0asm" and the version

const leb = (number) => (number < 128 ? [number] : [(number & 127) | 128, ...leb(number >>> 7)]);

/** Reads at a place that moves on. */
const reader = (bytes, at) => ({
  get at() {
    return at;
  },
  number() {
    let value = 0;
    for (let shift = 0; ; shift += 7) {
      const byte = bytes[at++];
      value += (byte & 127) * 2 ** shift;
      if (byte < 128) return value;
    }
  },
  bytes(count) {
    return bytes.subarray(at, (at += count));
  },
  text() {
    return this.bytes(this.number()).toString();
  },
});

/** The bytes with each import's name put through `short`. Every import must be a function: wasm-bindgen's are. */
const renamed = (wasm, short) => {
  const parts = [wasm.subarray(0, HEAD)];
  for (let at = HEAD; at < wasm.length; ) {
    const section = reader(wasm, at);
    const id = section.number();
    const size = section.number();
    let body = section.bytes(size);
    if (id === IMPORTS) {
      const imports = reader(body, 0);
      const count = imports.number();
      const out = [leb(count)];
      for (let each = 0; each < count; each++) {
        for (const name of [imports.text(), short(imports.text())]) out.push(leb(name.length), Buffer.from(name));
        if (imports.number() !== 0) throw new Error("an import is no function");
        out.push([0], leb(imports.number()));
      }
      body = Buffer.concat(out.map((bytes) => Buffer.from(bytes)));
    }
    parts.push(Buffer.from([id, ...leb(body.length)]), body);
    at = section.at;
  }
  return Buffer.concat(parts);
};

const folder = process.env.TRUNK_STAGING_DIR;
for (const file of readdirSync(folder).filter((name) => name.endsWith("_bg.wasm"))) {
  const path = join(folder, file);
  const script = path.replace("_bg.wasm", ".js");
  let code = readFileSync(script, "utf8");
  let count = 0;
  const short = (name) => {
    const parts = code.split(`${name}: function`);
    if (parts.length !== 2) throw new Error(`${script} must define ${name} once`);
    const given = `i${count++}`;
    code = parts.join(`${given}: function`);
    return given;
  };
  writeFileSync(path, renamed(readFileSync(path), short));
  writeFileSync(script, code);
}
