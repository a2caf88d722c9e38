// Part of Trunk's post-build hook, after all pages: writes into the worker which files make the build, and the digest that says so.

import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const root = process.env.TRUNK_STAGING_DIR;
const path = join(root, "worker.js");

const filesBelow = (folder) =>
  readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? filesBelow(`${folder}${entry.name}/`) : [folder + entry.name],
  );

// The page in a sub-folder, which has no worker of its own, is a run of Trunk by itself.
if (existsSync(path)) {
  const paths = filesBelow("").filter((file) => file !== "worker.js").sort();
  // The page of jobs comes last. Hosts differ in what they do with a page's file name, not with its folder.
  const files = [...paths.filter((file) => file !== "index.html"), "index.html"];
  const digest = createHash("sha256");
  for (const file of files) digest.update(readFileSync(join(root, file)));

  let worker = readFileSync(path, "utf8").replace(/^\s*(\/\/.*)?\n/gm, "");
  const fill = (placeholder, value) => {
    if (worker.split(placeholder).length !== 2) throw new Error(`${path} must hold ${placeholder} once`);
    worker = worker.replace(placeholder, () => JSON.stringify(value));
  };
  fill('["files"]', files.map((file) => file.replace(/(^|\/)index\.html$/, "$1") || "./"));
  fill('"build"', digest.digest("base64"));
  writeFileSync(path, worker);
}
