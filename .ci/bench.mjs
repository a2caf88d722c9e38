// Trunk's post-build hook: builds the bench, src/bench.html, into the folder bench/ of the page of jobs.
// Trunk runs it after the bench too, where it has nothing to do.

import { spawnSync } from "node:child_process";
import { basename, join } from "node:path";

const { TRUNK_HTML_FILE, TRUNK_PROFILE, TRUNK_STAGING_DIR } = process.env;

if (basename(TRUNK_HTML_FILE) !== "bench.html") {
  const into = ["--dist", join(TRUNK_STAGING_DIR, "bench"), "--html-output", "index.html"];
  const how = TRUNK_PROFILE === "release" ? ["--release"] : [];
  const { status, error } = spawnSync("trunk", ["build", "src/bench.html", ...into, ...how], { stdio: "inherit" });
  if (error) throw error;
  process.exitCode = status ?? 1;
}
