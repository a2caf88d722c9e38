// Part of Trunk's post-build hook: writes the hashes of the inline scripts and styles into the page's content security policy.
// The page in the staging folder is changed; a placeholder that is missing or left over stops the build.

import { createHash } from "node:crypto";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const path = join(process.env.TRUNK_STAGING_DIR, "index.html");
let page = readFileSync(path, "utf8");

for (const kind of ["script", "style"]) {
  const inline = [...page.matchAll(new RegExp(`<${kind}\\b([^>]*)>([\\s\\S]*?)</${kind}>`, "gi"))]
    .filter(([, attributes]) => !/\bsrc\s*=/i.test(attributes))
    .map(([, , code]) => `'sha256-${createHash("sha256").update(code).digest("base64")}'`);
  const placeholder = `'inline-${kind}-hashes'`;

  if (inline.length === 0) throw new Error(`${path} has no inline ${kind}: drop ${placeholder} from index.html`);
  if (page.split(placeholder).length !== 2) throw new Error(`${path} must hold ${placeholder} once, in its policy`);
  page = page.replace(placeholder, () => inline.join(" "));
}
writeFileSync(path, page);
