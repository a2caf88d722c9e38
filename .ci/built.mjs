// Trunk's post-build hook. Trunk starts its hooks side by side, and each of these needs what the one before it wrote.

import "./names.mjs";
import "./start.mjs";
import "./csp.mjs";
import "./pages.mjs";
import "./worker.mjs";
