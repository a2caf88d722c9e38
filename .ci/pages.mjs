// Part of Trunk's post-build hook: builds the pages that stand in a folder of their own, src/pages/NAME.html into NAME/.
// Trunk runs it after each of those too, where it has nothing to do.

import { spawnSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { basename, join } from "node:path";

const { TRUNK_HTML_FILE, TRUNK_PROFILE, TRUNK_STAGING_DIR } = process.env;

if (basename(TRUNK_HTML_FILE) === "index.html") {
  const how = TRUNK_PROFILE === "release" ? ["--release"] : [];
  for (const file of readdirSync("src/pages").filter((file) => file.endsWith(".html"))) {
    const name = basename(file, ".html");
    const into = ["--dist", join(TRUNK_STAGING_DIR, name), "--html-output", "index.html"];
    const { status, error } = spawnSync("trunk", ["build", `src/pages/${name}.html`, ...into, ...how], { stdio: "inherit" });
    if (error) throw error;
    if (status !== 0) process.exit(status ?? 1);
  }
}
