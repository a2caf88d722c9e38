// Draws the icons of an installed Halfturn in public/icons from public/icon.svg, by a picture of Chromium's.

import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const drawing = readFileSync("public/icon.svg", "utf8");
// A system that cuts an icon to a shape of its own leaves at least the circle of 40 % of its side (W3C Web Application Manifest, "Icon
// masks and safe zone"): the paper goes to the edge, and the drawing stays in the circle.
const maskable = drawing.replace('viewBox="0 0 64 64"', 'viewBox="-8 -8 80 80"').replace(/<rect [^>]*\/>/, '<rect x="-8" y="-8" width="80" height="80" fill="#fbfaf5"/>');

const folder = mkdtempSync(join(tmpdir(), "icons-"));
for (const [name, size, svg] of [["icon-192", 192, drawing], ["icon-512", 512, drawing], ["maskable-512", 512, maskable]]) {
  const page = join(folder, `${name}.html`);
  writeFileSync(page, `<style>* { margin: 0 } svg { display: block; width: ${size}px; height: ${size}px }</style>${svg}`);
  const picture = [`--screenshot=public/icons/${name}.png`, `--window-size=${size},${size}`, "--default-background-color=00000000", "--hide-scrollbars"];
  const { status, stderr } = spawnSync("chromium", ["--headless", "--no-sandbox", "--disable-gpu", `--user-data-dir=${folder}`, ...picture, page]);
  if (status !== 0) throw new Error(`Chromium drew no ${name}: ${stderr}`);
}
rmSync(folder, { recursive: true });
