// Part of Trunk's post-build hook: writes the hash of every inline script into the page's content security policy.
// The page in the staging folder is changed; a placeholder that is missing or left over stops the build.

import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const PLACEHOLDER = "'inline-script-hashes'";
const path = join(process.env.TRUNK_STAGING_DIR, "index.html");
const page = readFileSync(path, "utf8");

const inline = [...page.matchAll(/<script\b([^>]*)>([\s\S]*?)<\/script>/gi)]
  .filter(([, attributes]) => !/\bsrc\s*=/i.test(attributes))
  .map(([, , code]) => `'sha256-${createHash("sha256").update(code).digest("base64")}'`);

if (inline.length === 0) throw new Error(`${path} has no inline script: drop ${PLACEHOLDER} from index.html`);
if (page.split(PLACEHOLDER).length !== 2) throw new Error(`${path} must hold ${PLACEHOLDER} once, in its policy`);
writeFileSync(path, page.replace(PLACEHOLDER, () => inline.join(" ")));
